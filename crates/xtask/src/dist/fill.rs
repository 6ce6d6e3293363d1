//! Templates: `{{key}}` stands for a value that the build knows.

use std::collections::BTreeMap;

use anyhow::{Result, bail};

/// Values by key.
pub(crate) type Values = BTreeMap<String, String>;

/// The template with every `{{key}}` replaced.
///
/// # Errors
/// A key without a value, or a brace pair that is never closed: a page with a hole in it must not be shipped.
pub(crate) fn fill(name: &str, template: &str, values: &Values) -> Result<String> {
    let mut filled = String::with_capacity(template.len());
    let mut rest = template;
    while let Some((before, after)) = rest.split_once("{{") {
        let Some((key, after)) = after.split_once("}}") else { bail!("{name}: `{{{{` is never closed") };
        let Some(value) = values.get(key) else { bail!("{name}: nothing is called `{key}`") };
        filled.push_str(before);
        filled.push_str(value);
        rest = after;
    }
    filled.push_str(rest);
    Ok(filled)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn values() -> Values {
        Values::from([("css".to_owned(), "style-1.css".to_owned())])
    }

    #[test]
    fn every_key_is_replaced() {
        let filled = fill("page", "<link href={{css}}><a href={{css}}>{ x }", &values());
        assert_eq!(filled.ok().as_deref(), Some("<link href=style-1.css><a href=style-1.css>{ x }"));
    }

    #[test]
    fn a_hole_is_refused() {
        let fault = fill("page", "{{boot}}", &values()).unwrap_err().to_string();
        assert_eq!(fault, "page: nothing is called `boot`");
        assert!(fill("page", "{{css", &values()).is_err());
    }
}
