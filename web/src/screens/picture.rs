//! Width and height of the picture on the imager: what a lens sees and what bending does to the picture both need them.

use solver::bounds;
use solver::package::Package;

use crate::app::App;
use crate::dom::El;
use crate::screens::shared::line;
use crate::show::{Kind, Style};
use crate::ui::number::number;

/// Width and height of a typical picture of the large format, m. Common practice, no source.
const LARGE_FORMAT_M: [f64; 2] = [0.036, 0.024];

/// How large the picture is, and whether that is only a typical size; nothing while it is not known.
pub(super) fn size(style: Style, package: &Package) -> Option<El> {
    let size_m = [package.structure.picture_width_m?, package.structure.picture_height_m?];
    let typical = if size_m == LARGE_FORMAT_M { ", typical" } else { "" };
    let (width, height) = (style.bare(Kind::Length, size_m[0]), style.show(Kind::Length, size_m[1]));
    Some(line("picture-size", "On a picture of", &format!("{width} × {height}{typical}")))
}

/// The field for the width.
pub(super) fn width(app: App) -> El {
    number(
        "Width of the picture on the imager",
        Kind::Length,
        &bounds::PICTURE_WIDTH_M,
        "picture-width",
        |package| package.structure.picture_width_m,
        |package, m| package.structure.picture_width_m = Some(m),
    )
    .help("As recorded, before an anamorphic picture is unsqueezed. Large format: typically 36 mm.")
    .view(app)
}

/// The field for the height.
pub(super) fn height(app: App) -> El {
    number(
        "Height of the picture on the imager",
        Kind::Length,
        &bounds::PICTURE_HEIGHT_M,
        "picture-height",
        |package| package.structure.picture_height_m,
        |package, m| package.structure.picture_height_m = Some(m),
    )
    .help("As recorded; bending that reaches the picture is told as a share of it. Large format: typically 24 mm.")
    .view(app)
}
