//! A drawing as a page that prints by itself.

use super::sheet::escaped;
use super::words::number;
use super::{Measures, words};
use crate::finding::strobe::Strobe;

/// The whole file: nothing is fetched, and what is said on the screen is not printed.
pub(super) fn html(s: &Strobe, m: &Measures, svg: &str) -> String {
    let (w, h) = (number(m.paper.width_mm), number(m.paper.height_mm));
    let title = escaped(&words::lamp(s));
    let sheet = &m.paper.id;
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>{title}</title>\n<style>\n\
         @page {{ size: {w}mm {h}mm; margin: 0 }}\n\
         html, body {{ margin: 0; padding: 0; background: #fff; color: #000 }}\n\
         svg {{ display: block; width: {w}mm; height: {h}mm }}\n\
         .screen {{ font: 16px/1.4 sans-serif; margin: 1em; max-width: 40em }}\n\
         @media print {{ .screen {{ display: none }} body {{ height: {h}mm; overflow: hidden }} }}\n</style>\n</head>\n<body>\n\
         <p class=\"screen\">Print this page on {sheet} at 100 % (actual size), with no margins and not fitted to the page, then measure the \
         line of 100 mm.</p>\n{svg}</body>\n</html>\n"
    )
}
