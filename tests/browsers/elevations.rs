//! The elevations: reached at once, followed by every answer while something is dragged, a way to every part.

use checks::browser::{Engine, Look, Server, WebDriver};

use crate::at;

fn started(server: &Server, look: Look) -> WebDriver {
    let mut page = WebDriver::chromium();
    page.look(look);
    page.open(&server.address("/"));
    let any: &mut dyn Engine = &mut page;
    any.wait("the page to start", "document.querySelector('[data-test=runtime][data-value]') && true");
    page
}

/// The middle of what a selector finds, in view.
fn middle(page: &mut dyn Engine, selector: &str) -> [f64; 2] {
    let place = page.wait(
        selector,
        &format!(
            "(() => {{
                const found = document.querySelector(\"{selector}\");
                found?.scrollIntoView({{ block: 'center' }});
                const box = found?.getBoundingClientRect();
                return box ? [box.x + box.width / 2, box.y + box.height / 2] : null;
            }})()"
        ),
    );
    [0, 1].map(|index| place[index].as_f64().expect("two coordinates"))
}

/// A page that is wide shows the answers and the elevations at once: what one does, the other shows.
#[test]
fn answers_follow_while_a_slide_and_a_part_are_dragged() {
    let server = Server::start(&crate::dist());
    let mut page = started(&server, Look { width: 1280, height: 800, dark: false });
    let moved = "document.querySelector('[data-test=mark-plate] .mark__move').innerText";
    let any: &mut dyn Engine = &mut page;
    let lines = any.run(
        "const tops = [...document.querySelectorAll('.verdict__links > a')].filter(e => e.getClientRects().length)
            .map(e => Math.round(e.getBoundingClientRect().top));
        return [tops.length, new Set(tops).size]",
    );
    assert_eq!(lines, serde_json::json!([2, 1]), "the links of the verdict stand on one line");
    let before = any.run(&format!("return {moved}"));
    let pointer = middle(any, &at("handle-plate"));
    page.press_and_move(pointer, [-30.0, 0.0]);
    let any: &mut dyn Engine = &mut page;
    any.wait("the move to follow", &format!("{moved} !== {before}"));
    let undo = format!("document.querySelector(\"{}\").disabled", at("undo"));
    assert_eq!(any.run(&format!("return {undo}")), true, "a drag is not committed before the finger lets go");
    page.release([pointer[0] - 30.0, pointer[1]]);
    let any: &mut dyn Engine = &mut page;
    any.wait("one step of undo", &format!("!{undo}"));
    any.tap(&at("undo"));
    any.wait("the move as it was", &format!("{moved} === {before}"));

    // A part that is dragged moves the target mark.
    let target = any.value_of(&at("mark-plate"));
    let part = middle(any, "[data-test=drawn-part][data-name='Top handle']");
    page.press_and_move(part, [60.0, 0.0]);
    let any: &mut dyn Engine = &mut page;
    any.wait(
        "the target to follow",
        &format!("document.querySelector(\"{}\").dataset.value !== '{target}'", at("mark-plate")),
    );
    page.release([part[0] + 60.0, part[1]]);
}

/// Goes to the elevations and calls `look` with each of them on the screen.
fn in_each_elevation(page: &mut dyn Engine, look: impl Fn(&mut dyn Engine, &str)) {
    page.tap(&at("guide-never"));
    page.tap(&at("to-scale"));
    for (index, view) in ["side", "front", "top"].iter().enumerate() {
        page.tap(&at(&format!("elevation-{index}")));
        page.wait(view, &format!("document.querySelector(\"{}\")?.dataset.view === '{view}'", at("drawing")));
        look(page, view);
    }
}

/// What a phone on its side has under its header holds the head and every rule, in each elevation.
#[test]
fn on_a_low_screen_head_and_rules_are_seen_at_once() {
    let server = Server::start(&crate::dist());
    let mut page = started(&server, Look { width: 844, height: 390, dark: false });
    let page: &mut dyn Engine = &mut page;
    in_each_elevation(page, |page, view| {
        let room = page.run(
            "const sheet = document.querySelector('.drawing__sheet').getBoundingClientRect();
            const under = innerHeight - document.querySelector('.top').getBoundingClientRect().bottom;
            const handles = [...document.querySelectorAll('.drawing__handle')].map(e => e.getBoundingClientRect());
            const in_it = handles.every(box => box.top >= sheet.top - 1 && box.bottom <= sheet.bottom + 1);
            return [under - sheet.height, handles.length, in_it, sheet.width > 600]",
        );
        assert!(room[0].as_f64().is_some_and(|left| left >= 0.0), "{view}: {room}");
        assert!(room[1].as_u64() >= Some(2) && room[2] == true && room[3] == true, "{view}: {room}");
    });
}

#[test]
fn they_are_one_tap_from_the_first_screen_and_lead_to_every_part() {
    let server = Server::start(&crate::dist());
    let mut page = started(&server, Look { width: 360, height: 740, dark: true });
    let page: &mut dyn Engine = &mut page;
    in_each_elevation(page, |page, view| {
        // To the edges of the narrowest phone and no further, with names that can be read.
        let fits = page.run(
            "const sheet = document.querySelector('.drawing__sheet').getBoundingClientRect();
            const words = [...document.querySelectorAll('.drawing__sheet text')];
            const small = words.filter(each => parseFloat(getComputedStyle(each).fontSize) < 10.5).map(each => each.textContent);
            const out = words.map(each => [each, each.getBoundingClientRect()])
                .filter(([, box]) => box.left < sheet.left - 1 || box.right > sheet.right + 1).map(([each]) => each.textContent);
            return JSON.stringify([sheet.right <= innerWidth, small, out])",
        );
        assert_eq!(fits, "[true,[],[]]", "{view}");
    });
    page.tap(&at("elevation-0"));
    page.tap("[data-test=drawn-part][data-name='Large-format body']");
    page.wait("the part", "/^#.parts.[0-9]+$/.test(location.hash)");
    page.wait("its mass", &format!("document.querySelector(\"{}\") && true", at("part-mass")));
}
