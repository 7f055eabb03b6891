//! A ring to print: bars counted and measured in the drawing, and once more in what a browser prints of it.
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::{printed, program, root, said};
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::process::Command;

fn run(arguments: &[&str]) -> (i32, String, String) {
    let out = program([&["strobe"], arguments].concat()).current_dir(root()).output().unwrap();
    (out.status.code().unwrap(), printed(&out), said(&out))
}

/// The drawing of the wand in a folder, with these options.
fn drawn(folder: &Path, name: &str, jig: &str, options: &[&str]) -> (PathBuf, String) {
    let file = folder.join(name);
    let jig = format!("demo-data/{jig}.toml");
    let (status, text, err) = run(&[&[&jig, "--ring", file.to_str().unwrap()], options].concat());
    assert_eq!(status, 0, "{text}{err}");
    let drawing = std::fs::read_to_string(&file).unwrap();
    (file, drawing)
}

fn between<'t>(text: &'t str, from: &str, to: &str) -> &'t str {
    text.split_once(from).unwrap_or_else(|| panic!("no {from}")).1.split_once(to).unwrap().0
}

/// The numbers of a path or an attribute, in their order.
fn numbers(text: &str) -> Vec<f64> {
    let spaced: String = text.chars().map(|c| if c.is_ascii_digit() || ".-".contains(c) { c } else { ' ' }).collect();
    spaced.split_whitespace().map(|n| n.parse().unwrap()).collect()
}

/// Rings of a disc: what they say of themselves, and the corners of each bar.
fn rings(svg: &str) -> Vec<(u32, Vec<Vec<[f64; 2]>>)> {
    let ring = |text: &str| {
        let bars = between(text, "data-bars=\"", "\"").parse().unwrap();
        let corners = |path: &str| {
            let n = numbers(path.split_once(" d=\"").unwrap().1.split_once('"').unwrap().0);
            // M x y, A r r 0 0 1 x y, L x y, A r r 0 0 0 x y.
            [0, 7, 9, 16].map(|k| [n[k], n[k + 1]]).to_vec()
        };
        (bars, text.split("<path class=\"bar\"").skip(1).map(corners).collect())
    };
    svg.split("<g class=\"ring\"").skip(1).map(|text| ring(text.split_once("</g>").unwrap().0)).collect()
}

#[test]
fn every_bar_of_a_disc_is_where_it_belongs() {
    let folder = tempfile::tempdir().unwrap();
    for (jig, name, bars) in
        [("neon-wand-230v", "50.svg", [179, 180, 181]), ("neon-wand-120v", "60.svg", [215, 216, 217])]
    {
        let (_, svg) = drawn(folder.path(), name, jig, &["--rpm", "33 1/3"]);
        let found = rings(&svg);
        assert_eq!(found.iter().map(|r| r.0).collect::<Vec<_>>(), bars);
        let mut before = 90.0;
        for (count, list) in &found {
            assert_eq!(list.len(), *count as usize, "counted");
            let pitch = 360.0 / f64::from(*count);
            let at = |[x, y]: [f64; 2]| (x.hypot(y), x.atan2(-y).to_degrees().rem_euclid(360.0));
            let (outer, inner) = (at(list[0][0]).0, at(list[0][2]).0);
            assert!(outer < before && inner < outer, "one inside of the other");
            before = inner;
            for (k, corners) in list.iter().enumerate() {
                let (from, to) = ((k as f64 - 0.25) * pitch, (k as f64 + 0.25) * pitch);
                for (corner, (r, degrees)) in
                    corners.iter().zip([(outer, from), (outer, to), (inner, to), (inner, from)])
                {
                    let (got_r, got) = at(*corner);
                    let aside = ((got - degrees + 180.0).rem_euclid(360.0) - 180.0).to_radians() * r;
                    assert!((got_r - r).abs() < 0.01 && aside.abs() < 0.01, "{count} bars, {k}: {corner:?}");
                }
            }
        }
        // 180 mm across, a hole of 7.3 mm, 10 mm from the edge of an A4 sheet, a line of 100 mm.
        for (id, radius) in [("rim", 90.0), ("hole", 3.65)] {
            let circle = between(&svg, &format!("<circle id=\"{id}\""), "/>");
            assert!((numbers(between(circle, " r=\"", "\""))[0] - radius).abs() < 0.01, "{circle}");
        }
        assert!(
            svg.contains("width=\"210mm\" height=\"297mm\" viewBox=\"0 0 210 297\"")
                && svg.contains("translate(105 100)")
        );
        let line = numbers(between(between(&svg, "<path id=\"length\"", "/>"), "d=\"", "\""));
        assert!((line[2] - line[0] - 100.0).abs() < 0.01, "{line:?}");
        // A tick at each of 360 degrees, and for whom it is.
        let scale = between(between(&svg, "<path id=\"scale\"", "/>"), "d=\"", "\"");
        assert_eq!(scale.matches('M').count(), 360);
        let rate = if name.starts_with("50") {
            "100 flashes a second on 230 V 50 Hz"
        } else {
            "120 flashes a second on 120 V 60 Hz"
        };
        assert!(svg.contains(rate), "{rate}");
    }
}

#[test]
fn every_bar_of_a_band_is_there_once() {
    let folder = tempfile::tempdir().unwrap();
    let options = ["--shape", "band", "--outer", "300 mm"];
    let (_, svg) = drawn(folder.path(), "band.svg", "neon-wand-230v", &options);
    let long = std::f64::consts::PI * 300.0;
    let pieces = svg.matches("class=\"piece\"").count();
    for (speed, bars) in [("33 1/3", 180), ("45", 133)] {
        let head = format!("data-speed=\"{speed}\" data-bars=\"{bars}\"");
        let (mut begun, mut black) = (0, 0.0);
        for part in svg.split("<g class=\"ring\"").skip(1).filter(|part| part.contains(&head)) {
            let part = part.split_once("</g>").unwrap().0;
            begun += part.matches("class=\"bar\"").count();
            let wide = |rect: &str| numbers(between(rect, "width=\"", "\""))[0];
            black += part.split("<rect").skip(1).map(wide).sum::<f64>();
        }
        assert_eq!(begun, bars, "{speed}");
        // Half of the way round is black.
        assert!((black - long / 2.0).abs() < 0.01 * pieces as f64, "{speed}: {black}");
    }
    let edges: f64 =
        svg.split("class=\"edge\" d=\"M0 0H").skip(1).map(|e| numbers(e.split_once('V').unwrap().0)[0]).sum();
    assert!((edges - long).abs() < 0.01, "{edges}");
}

#[test]
fn a_drawing_that_cannot_be_made_is_told_and_not_written() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("ring.svg");
    let name = file.to_str().unwrap();
    let jig = "demo-data/neon-wand-230v.toml";
    for (options, words) in [
        (&["--outer", "7 mm"][..], "no larger than its hole"),
        (&["--outer", "60 mm"], "the rings need"),
        (&["--outer", "250 mm"], "does not fit on A4"),
        (&["--outer", "0 mm"], "--outer: error"),
        (&["--outer", "wide"], "--outer: error"),
        (&["--paper", "napkin"], "there are A4, A3, Letter, Tabloid"),
        (&["--neighbours", "4"], "3 at most"),
        (&["--shape", "band", "--hole", "7 mm"], "a band has no hole"),
        (&["--shape", "band", "--outer", "900 mm"], "does not fit on A4"),
        (&["--rpm", "4", "--outer", "60 mm", "--neighbours", "0"], "neither printed nor seen"),
    ] {
        let (status, out, err) = run(&[&[jig, "--ring", name], options].concat());
        assert!(status == 2 && out.is_empty() && err.contains(words), "{options:?}: {err}");
        assert!(!file.exists(), "{options:?}");
    }
    let (status, _, err) = run(&[jig, "--ring", folder.path().join("ring.pdf").to_str().unwrap()]);
    assert!(status == 2 && err.contains(".svg or .html"), "{err}");
    std::fs::write(&file, "mine").unwrap();
    let (status, _, err) = run(&[jig, "--ring", name]);
    assert!(status == 2 && err.contains("is there already"), "{err}");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "mine");
    // A name with markup in it stays a name.
    let text = std::fs::read_to_string(root().join(jig)).unwrap().replace("Neon strobe wand, 230 V", "<b>&\\\"x");
    let odd = folder.path().join("odd.toml");
    std::fs::write(&odd, text).unwrap();
    let page = folder.path().join("odd.html");
    let (status, _, err) = run(&[odd.to_str().unwrap(), "--ring", page.to_str().unwrap()]);
    let html = std::fs::read_to_string(&page).unwrap_or_else(|_| panic!("{status} {err}"));
    assert!(html.contains("&lt;b&gt;&amp;&quot;x") && !html.contains("<b>"), "{html:.400}");
    assert!(
        !html.contains("<script") && !html.contains("http://") || html.matches("http://").count() == 1,
        "only the name of SVG"
    );
}

/// A shape of a printed page: points in millimetres, and whether it is filled.
struct Shape {
    filled: bool,
    points: Vec<[f64; 2]>,
}

/// What a page of PDF draws, but for its letters: its own small reader, of what a browser writes.
fn shapes(content: &str) -> Vec<Shape> {
    const POINT: f64 = 25.4 / 72.0;
    let mut now = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
    let (mut kept, mut stack, mut points, mut out) = (vec![], vec![], vec![], vec![]);
    for word in content.split_whitespace() {
        if let Ok(n) = word.parse::<f64>() {
            stack.push(n);
            continue;
        }
        let last = |k: usize| stack.len().checked_sub(k).map(|from| stack[from..].to_vec());
        match word {
            "q" => kept.push(now),
            "Q" => now = kept.pop().unwrap(),
            "cm" => {
                let m = last(6).unwrap();
                let part = |a: f64, b: f64| [a * now[0] + b * now[2], a * now[1] + b * now[3]];
                let ([a, b], [c, d], [e, f]) = (part(m[0], m[1]), part(m[2], m[3]), part(m[4], m[5]));
                now = [a, b, c, d, e + now[4], f + now[5]];
            }
            "m" | "l" | "c" => {
                let p = last(2).unwrap();
                let place = |a: f64, c: f64, e: f64| POINT * (p[0] * a + p[1] * c + e);
                points.push([place(now[0], now[2], now[4]), place(now[1], now[3], now[5])]);
            }
            "f" | "f*" | "S" => out.push(Shape { filled: word != "S", points: std::mem::take(&mut points) }),
            "n" => points.clear(),
            _ => {}
        }
        stack.clear();
    }
    out
}

/// The largest stream of a PDF, and the size of its pages in millimetres.
fn pages(pdf: &[u8]) -> (String, Vec<[f64; 2]>) {
    let text = String::from_utf8_lossy(pdf);
    let boxes = text.split("/MediaBox [").skip(1).map(|b| {
        let n = numbers(b.split_once(']').unwrap().0);
        [(n[2] - n[0]) * 25.4 / 72.0, (n[3] - n[1]) * 25.4 / 72.0]
    });
    let mut largest = String::new();
    // Behind "stream", that is not the end of one.
    for at in pdf.windows(8).enumerate().filter(|(_, w)| w.ends_with(b"stream\n") && w[0] != b'd').map(|(k, _)| k + 8) {
        let mut found = String::new();
        if flate2::read::ZlibDecoder::new(&pdf[at..]).read_to_string(&mut found).is_ok() && found.len() > largest.len()
        {
            largest = found;
        }
    }
    (largest, boxes.collect())
}

fn wide(shape: &Shape) -> [f64; 2] {
    let of = |k: usize| {
        let all = shape.points.iter().map(|p| p[k]);
        all.clone().fold(f64::MIN, f64::max) - all.fold(f64::MAX, f64::min)
    };
    [of(0), of(1)]
}

#[test]
fn a_browser_prints_it_true_to_scale() {
    if Command::new("chromium").arg("--version").output().is_err() {
        assert!(std::env::var_os("CI_HAS_CHROMIUM").is_none(), "chromium was installed and cannot be run");
        eprintln!("skipped: no chromium here");
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    for (jig, name, options, sheet, bars) in [
        ("neon-wand-230v", "50.html", &["--rpm", "33 1/3"][..], [210.0, 297.0], [179, 180, 181]),
        ("neon-wand-120v", "60.html", &["--rpm", "33 1/3", "--paper", "Letter"], [215.9, 279.4], [215, 216, 217]),
    ] {
        let (file, _) = drawn(folder.path(), name, jig, options);
        let pdf = file.with_extension("pdf");
        let out = Command::new("chromium")
            .args(["--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"])
            .arg(format!("--user-data-dir={}", folder.path().join("browser").display()))
            .arg(format!("--print-to-pdf={}", pdf.display()))
            .arg(format!("file://{}", file.display()))
            .output()
            .unwrap();
        let (content, pages) = pages(&std::fs::read(&pdf).unwrap_or_else(|e| panic!("{e}: {out:?}")));
        assert_eq!(pages.len(), 1, "one sheet");
        // A browser rounds a sheet to whole points of its own, 1/96 inch.
        assert!(pages[0].iter().zip(sheet).all(|(got, want)| (got - want).abs() < 0.3), "{pages:?}");
        let all = shapes(&content);
        let close = |a: f64, b: f64| (a - b).abs() < 0.05;
        let line = |s: &&Shape| !s.filled && s.points.len() == 2 && close(wide(s)[0], 100.0) && wide(s)[1] < 0.01;
        let drawn: Vec<[f64; 2]> = all.iter().filter(|s| !s.filled).map(wide).collect();
        assert_eq!(all.iter().filter(line).count(), 1, "the line of 100 mm: {drawn:?}");
        let round = |across: f64| all.iter().find(|s| !s.filled && wide(s).iter().all(|w| close(*w, across))).unwrap();
        let middle = |shape: &Shape| {
            let of = |k: usize| {
                let all = shape.points.iter().map(|p| p[k]);
                (all.clone().fold(f64::MIN, f64::max) + all.fold(f64::MAX, f64::min)) / 2.0
            };
            [of(0), of(1)]
        };
        let [x, y] = middle(round(180.0));
        let hole = middle(round(7.3));
        assert!(close(hole[0], x) && close(hole[1], y), "the hole is in the middle");
        // Bars by how far they are from the middle; the ground of the sheet is larger than any bar.
        let bar = all.iter().filter(|s| s.filled && !s.points.is_empty() && wide(s).iter().all(|w| *w < 10.0));
        let far = |s: &Shape| s.points.iter().map(|p| (p[0] - x).hypot(p[1] - y)).fold(f64::MIN, f64::max);
        let mut radii: Vec<f64> = bar.map(far).collect();
        radii.sort_by(|a, b| b.total_cmp(a));
        let rings: Vec<&[f64]> = radii.chunk_by(|a, b| (a - b).abs() < 0.5).collect();
        assert_eq!(rings.iter().map(|r| r.len()).collect::<Vec<_>>(), bars, "counted in print");
        // The first ring lies 6 mm of scale and 3.6 mm of words inside of the rim, and all of its bars do.
        assert!(rings[0].iter().all(|r| close(*r, 80.4)), "{:?}", rings[0]);
    }
}
