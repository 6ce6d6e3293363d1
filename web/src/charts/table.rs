//! A table out of sight, for those who listen.

use crate::dom::{El, div, el};

/// A table with a caption, column heads and rows; the first cell of a row is its head.
pub(super) fn unseen(caption: &str, heads: &[String], rows: &[Vec<String>]) -> El {
    let head = el("tr").children(heads.iter().map(|head| el("th").attr("scope", "col").words(head)));
    let body = rows.iter().map(|row| {
        el("tr").children(row.iter().enumerate().map(|(index, cell)| {
            if index == 0 { el("th").attr("scope", "row").words(cell) } else { el("td").words(cell) }
        }))
    });
    div("unseen").child(
        el("table")
            .child(el("caption").words(caption))
            .child(el("thead").child(head))
            .child(el("tbody").children(body)),
    )
}
