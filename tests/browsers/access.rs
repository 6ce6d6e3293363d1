//! Everybody can read and press it: axe-core on every screen in both themes, targets, large text, no movement, keys.

use checks::browser::{Engine, Kind, Look, Server, WebDriver, start};
use checks::{fixture, screens};
use serde_json::{Value, json};

use crate::at;
use crate::kept::demo_in;

/// What axe-core looks for: WCAG 2.2 at all three levels with target size, and best practice.
const TAGS: [&str; 8] =
    ["wcag2a", "wcag2aa", "wcag2aaa", "wcag21a", "wcag21aa", "wcag21aaa", "wcag22aa", "best-practice"];

/// The tab and enter keys, as drivers write them.
const TAB: &str = "\u{E004}";
const ENTER: &str = "\u{E007}";
const ARROW_UP: &str = "\u{E013}";

fn started(server: &Server, look: Look) -> WebDriver {
    let mut page = WebDriver::chromium();
    page.look(look);
    page.open(&server.address("/"));
    let any: &mut dyn Engine = &mut page;
    any.wait("the page to start", "document.querySelector('[data-test=runtime][data-value]') && true");
    page
}

fn go(page: &mut dyn Engine, address: &str) {
    page.run(&format!("location.hash = '{address}'; scrollTo(0, 0); await new Promise(done => setTimeout(done, 150))"));
}

/// axe-core in the page. The page's own policy allows no foreign script element, but a driver may run what it likes.
fn bring_axe(page: &mut dyn Engine) {
    let source = std::fs::read_to_string(fixture::home().join("browsers/axe/axe.min.js")).expect("axe-core is here");
    page.run(&format!("{source}\nwindow.axe = typeof axe === 'object' ? axe : window.axe; return !!window.axe"));
}

/// What axe-core finds on the open screen, as lines.
fn violations(page: &mut dyn Engine) -> Vec<String> {
    let options = json!({ "runOnly": { "type": "tag", "values": TAGS }, "resultTypes": ["violations"] });
    let found = page.run(&format!(
        "const found = await axe.run(document, {options});
        return found.violations.flatMap(rule => rule.nodes.map(node =>
            `${{rule.id}}: ${{node.target.join(' ')}} ${{node.html.slice(0, 160)}} ${{node.any[0]?.message ?? node.all[0]?.message ?? node.none[0]?.message ?? ''}}`))"
    ));
    lines(&found)
}

fn lines(found: &Value) -> Vec<String> {
    let list = found.as_array().expect("a list");
    list.iter().map(|line| line.as_str().unwrap_or_default().to_owned()).collect()
}

/// What can be pressed and is smaller than 48 px either way.
fn small_targets(page: &mut dyn Engine) -> Vec<String> {
    let found = page.run(
        "return [...document.querySelectorAll('a[href],button,input,select,textarea,summary')]
            .filter(e => e.getClientRects().length && !e.matches('.skip,.unseen'))
            .map(e => [e, e.getBoundingClientRect()])
            .filter(([, box]) => box.width < 47.99 || box.height < 47.99)
            .map(([e, box]) => `${e.tagName} ${e.dataset.test ?? e.className} '${e.innerText}' ${box.width} x ${box.height}`)",
    );
    lines(&found)
}

/// What sticks out of the page, or is cut off within its own box.
fn clipped(page: &mut dyn Engine) -> Vec<String> {
    let found = page.run(
        "const out = document.documentElement.scrollWidth > innerWidth + 1
            ? [`the page is ${document.documentElement.scrollWidth} wide on ${innerWidth}`] : [];
        for (const e of document.querySelectorAll('body *')) {
            if (!e.getClientRects().length || e.closest('svg,.unseen,.help:not([open])')) continue;
            const style = getComputedStyle(e);
            if (e.matches('input,textarea,select') || style.clipPath !== 'none') continue;
            const cuts = style.overflowX === 'hidden' || style.overflowX === 'clip';
            if (cuts && e.scrollWidth > e.clientWidth + 1) out.push(`cut off: ${e.className} '${e.innerText}'`);
            const box = e.getBoundingClientRect();
            const scrolls = e.closest('.chips--scroll,.prep__scroll,.drawing__wrap,.chart');
            if (!scrolls && box.right > innerWidth + 1 && e.children.length === 0)
                out.push(`beyond the edge: ${e.tagName} ${e.className} '${e.innerText ?? ''}' ${box.right}`);
        }
        const kept = [...document.querySelectorAll('.top,.tabs,.foot')]
            .filter(e => e.getClientRects().length && ['fixed', 'sticky'].includes(getComputedStyle(e).position))
            .map(e => e.getBoundingClientRect()).filter(box => box.width > 0.5 * innerWidth);
        const high = kept.reduce((sum, box) => sum + box.height, 0);
        if (high > 0.45 * innerHeight) out.push(`what stays in place leaves ${innerHeight - high} of ${innerHeight} px`);
        return out.slice(0, 12)",
    );
    lines(&found)
}

/// Looks at every screen in some way; gives what is wrong, each line with its screen.
fn on_every_screen(page: &mut dyn Engine, mut look: impl FnMut(&mut dyn Engine) -> Vec<String>) -> Vec<String> {
    let mut wrong = Vec::new();
    for (name, address) in screens::ALL {
        go(page, address);
        wrong.extend(look(page).into_iter().map(|line| format!("{name}: {line}")));
    }
    wrong
}

fn opened(page: &mut dyn Engine) {
    page.run("for (const each of document.querySelectorAll('main details, aside details')) each.open = true; await new Promise(done => setTimeout(done, 80))");
}

fn axe_finds_nothing(dark: bool) {
    let server = Server::start(&crate::dist());
    let mut page = started(&server, Look { dark, ..Look::PHONE });
    bring_axe(&mut page);
    // With the invitation, as found; then everything opened.
    let mut wrong = violations(&mut page);
    wrong.extend(on_every_screen(&mut page, |page| {
        opened(page);
        violations(page)
    }));
    assert_eq!(wrong, Vec::<String>::new());
}

#[test]
fn axe_finds_nothing_by_day() {
    axe_finds_nothing(false);
}

#[test]
fn axe_finds_nothing_by_night() {
    axe_finds_nothing(true);
}

#[test]
fn axe_finds_nothing_on_a_wide_page() {
    let server = Server::start(&crate::dist());
    let mut page = started(&server, Look { width: 1280, height: 800, dark: false });
    bring_axe(&mut page);
    let wrong = on_every_screen(&mut page, violations);
    assert_eq!(wrong, Vec::<String>::new());
}

#[test]
fn every_target_is_large_at_every_size() {
    let server = Server::start(&crate::dist());
    let mut page = started(&server, Look::PHONE);
    let mut wrong = Vec::new();
    for (width, height) in [(360, 740), (390, 844), (844, 390), (1280, 800)] {
        page.look(Look { width, height, dark: false });
        let found = on_every_screen(&mut page, |page| {
            opened(page);
            small_targets(page)
        });
        wrong.extend(found.into_iter().map(|line| format!("{width} x {height}, {line}")));
    }
    assert_eq!(wrong, Vec::<String>::new());
}

#[test]
fn nothing_is_cut_off_at_any_size_or_at_twice_the_text() {
    let server = Server::start(&crate::dist());
    let mut page = started(&server, Look::PHONE);
    let mut wrong = Vec::new();
    for (width, height, text) in [(360, 740, 16), (390, 844, 16), (844, 390, 16), (1280, 800, 16), (390, 844, 32)] {
        page.look(Look { width, height, dark: false });
        page.text_size(text);
        let found = on_every_screen(&mut page, |page| {
            opened(page);
            clipped(page)
        });
        wrong.extend(found.into_iter().map(|line| format!("{width} x {height}, text {text} px, {line}")));
    }
    assert_eq!(wrong, Vec::<String>::new());
}

#[test]
fn nothing_moves_for_whoever_asked_for_that() {
    let server = Server::start(&crate::dist());
    let mut page = started(&server, Look::PHONE);
    let moving = on_every_screen(&mut page, |page| {
        let found =
            page.run("return document.getAnimations().map(each => each.effect?.target?.className ?? 'something')");
        lines(&found)
    });
    assert_eq!(moving, Vec::<String>::new());
}

#[test]
fn the_keyboard_reaches_and_changes_everything() {
    let server = Server::start(&crate::dist());
    let mut driver = started(&server, Look { width: 1280, height: 800, dark: false });
    let page: &mut dyn Engine = &mut driver;
    // The first stop leads past the header.
    page.press(TAB);
    page.wait("the way to the content", "document.activeElement?.matches('.skip')");
    page.press(ENTER);
    page.wait("the content", "document.activeElement?.id === 'main'");
    // A line of answers opens by key, and says why.
    page.run("document.querySelector('[data-test=mark-plate] > summary').focus()");
    page.press(ENTER);
    page.wait("the reasons", "document.querySelector('[data-test=mark-plate][open] .terms') && true");
    // Its field steps with the arrow keys, and the answers follow.
    let before = page.value_of(&at("present-plate"));
    page.run(&format!("document.querySelector(\"{}\").focus()", at("present-plate")));
    page.press(ARROW_UP);
    page.wait("one step", &format!("document.querySelector(\"{}\").dataset.value !== '{before}'", at("present-plate")));
    // Every stop can be seen: it has an outline of its own.
    go(page, "#/parts");
    page.run("document.querySelector('#main').focus()");
    for _ in 0..12 {
        page.press(TAB);
        let seen = page.run(
            "const e = document.activeElement; const near = e.matches('.chip__input,.switch__input') ? e.parentElement : e;
            const on = [e, near, e.nextElementSibling].filter(Boolean).some(each => getComputedStyle(each).outlineStyle !== 'none');
            return on ? 'seen' : e.outerHTML.slice(0, 200)",
        );
        assert_eq!(seen, "seen");
    }
}

/// Whoever takes an entry out of a list by the keyboard goes on from the entry that follows, and not from the top.
fn focus_after_an_entry_has_gone(kind: Kind) {
    let (_server, mut browser) = demo_in(start(kind));
    let page = &mut *browser;
    go(page, "#/head/own");
    page.tap(&at("own-begin"));
    let slides = "[...document.querySelectorAll('.own-slides > *')].map(entry => entry.dataset.test)";
    let before = page.wait("slides", &format!("document.querySelectorAll('.own-slides > *').length > 2 && {slides}"));
    page.run(
        "const entry = document.querySelectorAll('.own-slides > *')[1];
        entry.open = true;
        const remove = entry.querySelector(`[data-test$='-remove']`);
        remove.focus();
        remove.click();
        return true",
    );
    let count = before.as_array().expect("a list").len();
    page.wait("the slide to go", &format!("{slides}.length === {}", count - 1));
    let focused = page.run("return document.activeElement.dataset.test ?? document.activeElement.nodeName");
    assert_eq!(focused, before[2]);
}

in_engines!(focus_after_an_entry_has_gone);
