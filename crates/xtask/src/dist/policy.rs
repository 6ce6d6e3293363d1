//! The content security policy: one place for the page's own tag and for the header of the development server.

/// What the page may do. `'wasm-unsafe-eval'` lets WebAssembly compile; `connect-src 'self'` lets the glue fetch it.
/// There are no inline scripts and no inline styles.
pub(crate) const PAGE: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
     img-src 'self' data:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; font-src 'self'; \
     base-uri 'none'; form-action 'none'";

/// The policy as a header, where it may also say who frames the page: a tag in the page may not.
pub(crate) fn header() -> String {
    format!("{PAGE}; frame-ancestors 'self'")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_inline_is_allowed() {
        assert!(!PAGE.contains("unsafe-inline") && !PAGE.contains("'unsafe-eval'"));
        assert!(!PAGE.contains("  "), "the line breaks must leave single spaces");
        assert!(header().starts_with(PAGE));
    }
}
