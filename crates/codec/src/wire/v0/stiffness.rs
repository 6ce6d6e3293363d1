//! What is known of the stiffness of the package.

use solver::package::{Material, SensorOn, Structure};

use crate::wire::choice::choice;
use crate::wire::structure::layout;

layout!(Structure {
    rod_material, rod_wall_m @ 1e5, plate_material, fastening_nm_rad @ 1.0, lens_mount_nm_rad @ 1.0, support_n_m @ 1.0,
    picture_height_m @ 1e5, sensor_on, flange_depth_m @ 1e5, picture_width_m @ 1e5,
});

choice!(Material { Aluminium, Steel, CarbonWrapped, CarbonDrawn });

choice!(SensorOn { Head, Plate, Body });
