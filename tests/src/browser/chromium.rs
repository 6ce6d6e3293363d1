//! What only Chromium's own protocol can do: a screen of an exact size, a theme, a picture, a print.

use serde_json::json;

use super::webdriver::WebDriver;

/// A screen to look at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Width of the viewport, CSS px.
    pub width: u32,
    /// Height of the viewport, CSS px.
    pub height: u32,
    /// Whether the device asks for dark colours.
    pub dark: bool,
}

impl Look {
    /// An ordinary phone, upright and in daylight.
    pub const PHONE: Self = Self { width: 390, height: 844, dark: false };

    /// The name of the theme.
    pub fn theme(self) -> &'static str {
        if self.dark { "dark" } else { "light" }
    }
}

impl WebDriver {
    /// Makes the screen of this size and theme, without movement.
    pub fn look(&mut self, look: Look) {
        let metrics =
            json!({ "width": look.width, "height": look.height, "deviceScaleFactor": 1, "mobile": look.width < 900 });
        self.own_protocol("Emulation.setDeviceMetricsOverride", &metrics);
        let theme = if look.dark { "dark" } else { "light" };
        let features = json!({ "features": [
            { "name": "prefers-color-scheme", "value": theme },
            { "name": "prefers-reduced-motion", "value": "reduce" },
        ]});
        self.own_protocol("Emulation.setEmulatedMedia", &features);
    }

    /// Makes text this many px large where the page does not say otherwise; 16 is usual.
    pub fn text_size(&mut self, px: u32) {
        self.own_protocol("Page.setFontSizes", &json!({ "fontSizes": { "standard": px, "fixed": px } }));
    }

    /// Presses at a point of the viewport, and moves by so many px without letting go.
    pub fn press_and_move(&mut self, [x, y]: [f64; 2], [across, down]: [f64; 2]) {
        let mut event = |kind: &str, share: f64| {
            let parameters = json!({
                "type": kind, "x": x + share * across, "y": y + share * down, "button": "left", "buttons": 1,
                "clickCount": 1, "pointerType": "mouse",
            });
            self.own_protocol("Input.dispatchMouseEvent", &parameters);
        };
        event("mousePressed", 0.0);
        for share in [0.25, 0.5, 0.75, 1.0] {
            event("mouseMoved", share);
        }
    }

    /// Lets go at a point of the viewport.
    pub fn release(&mut self, [x, y]: [f64; 2]) {
        let parameters = json!({ "type": "mouseReleased", "x": x, "y": y, "button": "left", "clickCount": 1 });
        self.own_protocol("Input.dispatchMouseEvent", &parameters);
    }

    /// What the screen shows, as a PNG.
    pub fn picture(&mut self) -> Vec<u8> {
        let answer = self.own_protocol("Page.captureScreenshot", &json!({ "format": "png" }));
        from_base64(answer["data"].as_str().unwrap_or_default())
    }

    /// The page as it is printed on A4, as a PDF.
    pub fn print(&mut self) -> Vec<u8> {
        let paper = json!({ "preferCSSPageSize": true, "printBackground": false });
        let answer = self.own_protocol("Page.printToPDF", &paper);
        from_base64(answer["data"].as_str().unwrap_or_default())
    }
}

/// Bytes from base64, RFC 4648 section 4.
fn from_base64(text: &str) -> Vec<u8> {
    let value = |letter: u8| match letter {
        b'A'..=b'Z' => Some(letter - b'A'),
        b'a'..=b'z' => Some(letter - b'a' + 26),
        b'0'..=b'9' => Some(letter - b'0' + 52),
        b'+' => Some(62),
        b'/' => Some(63),
        _ => None,
    };
    let (mut bytes, mut held, mut bits) = (Vec::with_capacity(text.len() / 4 * 3), 0_u32, 0);
    for six in text.bytes().filter_map(value) {
        held = (held << 6) | u32::from(six);
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push((held >> bits).to_le_bytes()[0]);
            held &= (1 << bits) - 1;
        }
    }
    bytes
}

#[cfg(test)]
mod tests {
    use super::from_base64;

    /// RFC 4648, section 10: test vectors.
    #[test]
    fn the_vectors_of_the_standard_are_read() {
        for (text, bytes) in [("", ""), ("Zg==", "f"), ("Zm8=", "fo"), ("Zm9v", "foo"), ("Zm9vYmFy", "foobar")] {
            assert_eq!(from_base64(text), bytes.as_bytes(), "{text}");
        }
    }
}
