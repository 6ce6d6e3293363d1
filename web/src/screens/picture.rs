//! Width and height of the picture on the imager: what a lens sees and what bending does to the picture both need them.

use solver::bounds;

use crate::app::App;
use crate::dom::El;
use crate::show::Kind;
use crate::ui::number::number;

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
