//! The link: lossless, short, and safe to open whoever sent it.

use codec::{Document, library, link};

#[test]
fn the_demonstration_fits_a_message() {
    let text = link::encode(&library::demo().into()).expect("the demonstration is valid");
    assert_eq!(link::decode(&text), Ok(Document::from(library::demo())));
    println!("{} {}", text.len(), text);
    assert!(text.len() <= 1_000, "{} characters", text.len());
}
