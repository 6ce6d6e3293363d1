//! The first visit: asked once, shown round with the demo, never asked again.

use checks::browser::{Engine, Look, Server, WebDriver};

use crate::at;

fn visit(server: &Server) -> WebDriver {
    let mut page = WebDriver::chromium();
    page.look(Look::PHONE);
    page.open(&server.address("/"));
    started(&mut page);
    page
}

fn started(page: &mut dyn Engine) {
    page.wait("the page to start", "document.querySelector('[data-test=runtime][data-value]') && true");
}

fn asked(page: &mut dyn Engine) -> bool {
    page.run(&format!("return !!document.querySelector(\"{}\")?.getClientRects().length", at("invitation"))) == true
}

#[test]
fn the_tour_shows_the_demo_in_four_steps_and_is_offered_once() {
    let server = Server::start(&crate::dist());
    let mut page = visit(&server);
    let page: &mut dyn Engine = &mut page;
    assert!(asked(page), "nobody was asked");
    page.tap(&at("guide-start"));
    for step in 1..=4 {
        page.wait("the step", &format!("document.querySelector(\"{}\")?.dataset.step === '{step}'", at("guide")));
        // The answers themselves stand behind it, and what the step points at can be seen above it.
        started(page);
        let seen = page.run(
            "const pointed = document.querySelector('.pointed-at');
            if (!pointed) return true;
            const title = pointed.querySelector('h2').getBoundingClientRect();
            const card = document.querySelector('[data-test=guide]').getBoundingClientRect();
            return title.top >= document.querySelector('.top').getBoundingClientRect().bottom && title.bottom <= card.top",
        );
        assert_eq!(seen, true, "step {step} points at what cannot be seen");
        page.tap(&at(if step < 4 { "guide-next" } else { "guide-done" }));
    }
    started(page);
    assert!(!asked(page), "asked again after the tour");
    page.reload();
    started(page);
    assert!(!asked(page), "asked again on the next visit");
}

#[test]
fn whoever_declines_is_not_asked_again() {
    let server = Server::start(&crate::dist());
    let mut page = visit(&server);
    let page: &mut dyn Engine = &mut page;
    page.tap(&at("guide-never"));
    assert!(!asked(page));
    page.reload();
    started(page);
    assert!(!asked(page));
    // Help stands where the word is: one sentence.
    page.tap(".marks .help__sign");
    let words = page.wait("the sentence", "document.querySelector('.marks .help[open] .help__words')?.innerText");
    assert_eq!(words.as_str().map(|words| words.matches(". ").count()), Some(0), "{words}");
    // Whoever wants the tour all the same finds it in the settings.
    page.tap(&at("to-settings"));
    page.tap(&at("guide-again"));
    page.wait("the tour", &format!("document.querySelector(\"{}\")?.dataset.step === '1'", at("guide")));
    page.tap(&at("guide-skip"));
    page.wait("the answers", &format!("!document.querySelector(\"{}\")", at("guide")));
}
