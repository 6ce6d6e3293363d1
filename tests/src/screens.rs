//! The screens of the page, by name and address, for whatever looks at all of them.

/// Every screen: its name, and its address after the page's own. Parts, lenses and moves are those of the demonstration.
pub const ALL: [(&str, &str); 24] = [
    ("answers", "#/"),
    ("parts", "#/parts"),
    ("add-parts", "#/parts/add"),
    ("weigh-in", "#/parts/weigh"),
    ("part", "#/parts/1"),
    ("rods", "#/parts/6"),
    ("lenses", "#/lenses"),
    ("add-lenses", "#/lenses/add"),
    ("lens", "#/lenses/1"),
    ("moves", "#/moves"),
    ("move", "#/moves/1"),
    ("head", "#/head"),
    ("own-head", "#/head/own"),
    ("balance", "#/balance"),
    ("balance-logs", "#/balance/logs"),
    ("sureness", "#/balance/sure"),
    ("remedies", "#/remedies"),
    ("fit", "#/fit"),
    ("measure", "#/measure"),
    ("grip", "#/grip"),
    ("prep-sheet", "#/sheet"),
    ("packages", "#/packages"),
    ("share", "#/share"),
    ("settings", "#/settings"),
];
