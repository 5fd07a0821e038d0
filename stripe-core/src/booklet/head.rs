//! The head of a page that stands alone: it needs no network and no other file.

use maud::{Markup, PreEscaped, html};

/// The head of the page of a `title`, of which there are several: `what` tells them apart. Scripts
/// run only where the page has its own.
pub(super) fn head(title: &str, what: &str, has_scripts: bool, styles: &[&str]) -> Markup {
    let scripts = if has_scripts {
        " script-src 'unsafe-inline';"
    } else {
        ""
    };
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            // Nothing is ever fetched; browsers are told so.
            meta http-equiv="Content-Security-Policy"
                content={ "default-src 'none'; style-src 'unsafe-inline';" (scripts) " img-src data:" };
            title { (title) " – " (what) }
            link rel="icon" href="data:,";
            @for style in styles {
                style { (PreEscaped(*style)) }
            }
        }
    }
}
