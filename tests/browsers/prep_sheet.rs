//! The prep sheet: on the screen and on paper.

use checks::browser::{Engine, Look, Server, WebDriver};

use crate::answers::of_page;
use crate::at;

#[test]
fn it_prints_on_two_pages_and_says_what_was_not_checked() {
    let server = Server::start(&crate::dist());
    let mut driver = WebDriver::chromium();
    // In the dark, as trucks are: paper stays white all the same.
    driver.look(Look { dark: true, ..Look::PHONE });
    driver.open(&server.address("/"));
    let page: &mut dyn Engine = &mut driver;
    let answers = of_page(page);
    page.tap(&at("job-sheet"));
    page.wait(
        "the trim weights, which follow the rest",
        &format!("document.querySelector(\"{}\") && true", at("prep-trim")),
    );
    let text = page.wait("the sheet", &format!("document.querySelector(\"{}\")?.innerText", at("prep")));
    let text = text.as_str().expect("text");
    for part in [
        "Rowing regatta",
        "Marks, in balancing order",
        "Torque in hand",
        "Power",
        "Stiffness",
        "× the loop crossover",
        "No trim weights at hand make a lighter lens match Long zoom.",
        "Cautions",
        "Not checked",
        "/#c",
    ] {
        assert!(text.contains(part), "{part} is missing: {text}");
    }
    assert_eq!(text.to_lowercase().matches("invented").count(), 1, "that all is invented is said once: {text}");
    // Every column of the lenses is there on a phone, and the unit of their marks.
    let columns =
        page.run("const box = document.querySelector('.prep__scroll'); return box.scrollWidth - box.clientWidth");
    assert_eq!(columns, 0, "the lenses stick out of the sheet");
    assert!(text.contains("Marks in mm") && text.contains("Anamorphic 32: yes, new marks"), "{text}");
    // The marks are those of the first screen, to the millimetre.
    let plate = format!("{:.0}", answers["mark-plate"] * 1e3);
    let row = text.lines().find(|line| line.starts_with("Plate")).unwrap_or_default();
    assert!(row.split(|letter: char| !letter.is_ascii_digit()).any(|number| number == plate), "{row}: no {plate}");
    let sheet = driver.print();
    assert!(sheet.starts_with(b"%PDF"));
    let pages = pages(&sheet);
    assert!((1..=2).contains(&pages), "the demo's sheet takes {pages} pages");
}

/// Pages of a PDF as Chromium writes it: their objects stand in plain text.
fn pages(pdf: &[u8]) -> usize {
    let pages = |word: &[u8]| pdf.windows(word.len()).filter(|found| *found == word).count();
    pages(b"/Type /Page\n") + pages(b"/Type /Page ") + pages(b"/Type /Page/")
}
