//! A strobe lamp in use, as text: the lamp, its rings, what a drifting one means, what the mains adds, what to mind. Must not work
//! anything out.

use super::brief;
use super::clean::clean;
use super::look::Look;
use super::number::show;
use super::page::Page;
use super::table::{self, Column};
use crate::finding::strobe::{
    Drawn, Drift, Ghost, Neighbour, NoFlash, Pace, SeenAt, SpeedTolerance, Strobe, StrobeLight, StrobeRing,
    StrobeWarning, Way,
};
use crate::finding::{Judgement, Verdict};

/// Ghosts that are told.
const MOST_GHOSTS: usize = 3;
/// Signs before a figure that is off.
const DIGITS: usize = 2;

/// The page for a terminal. No line is wider than `look.width`; text from files is cleaned.
pub(crate) fn strobe_text(s: &Strobe, judgement: Option<&Judgement>, look: Look) -> String {
    let mut page = Page::new(look);
    let judgement = judgement.map(super::clean::judgement);
    let stops = judgement.as_ref().filter(|j| j.verdict() == Verdict::Stop || !j.complete());
    if let Some(j) = stops {
        checked(&mut page, s, j);
    }
    lamp(&mut page, s);
    if let Some(drawn) = &s.drawing {
        written(&mut page, drawn);
    }
    rings(&mut page, s);
    if let Some(drift) = &s.drift {
        drifting(&mut page, drift);
    }
    if let Some(seen) = &s.seen {
        seen_at(&mut page, seen);
    }
    frequency(&mut page, s);
    mind(&mut page, &s.warnings);
    page.gap();
    if judgement.is_some() {
        page.paragraph("Before you touch it: pull the plug, discharge it, prove it dead with a meter.");
    }
    match stops {
        Some(j) => checked(&mut page, s, j),
        None => page.paragraph(&answer(s)),
    }
    page.finish()
}

/// What the check says, where the jig is not to be plugged in.
fn checked(page: &mut Page, s: &Strobe, j: &Judgement) {
    brief::verdict(page, j);
    let file = s.lamp.file.as_deref().map_or("FILE".to_string(), clean);
    page.paragraph(&format!("Before it is used: deadfront check {file}"));
}

fn lamp(page: &mut Page, s: &Strobe) {
    let l = &s.lamp;
    match (&l.name, &l.file) {
        (Some(name), Some(file)) => page.paragraph(&format!("{} ({})", clean(name), clean(file))),
        _ => page.paragraph(&stated(s)),
    }
    let on = l.supply.as_deref().map_or(String::new(), |m| format!(" on {}", clean(m)));
    if let Some(why) = &s.dark {
        page.paragraph(&dark(why, &names(&l.parts), &on));
    }
    if let (Some(rate), Some(light)) = (s.flashes_per_second, &s.light) {
        page.paragraph(&flashes(s, light, rate, &on));
    }
    if !l.pilots.is_empty() {
        let only = if l.pilots.len() == 1 { "is taken for a pilot lamp" } else { "are taken for pilot lamps" };
        page.paragraph(&format!("{} {only}: --lamp names what gives the light.", names(&l.pilots)));
    }
}

/// The ring that was drawn.
fn written(page: &mut Page, drawn: &Drawn) {
    let Some(file) = &drawn.file else { return };
    let what = if drawn.band { "a band for a rim of" } else { "a disc of" };
    page.paragraph(&format!(
        "Wrote {}: {what} {} mm on {}. Print it at 100 % (actual size) and measure its line of 100 mm.",
        clean(file),
        figure(drawn.outer_mm),
        drawn.paper
    ));
}

/// A lamp of which only the mains or the flashes are known.
fn stated(s: &Strobe) -> String {
    let rate = s.flashes_per_second.map_or(String::new(), figure);
    match (&s.lamp.supply, s.lamp.frequency_hz) {
        (Some(mains), Some(hertz)) if s.flashes_per_second == Some(2.0 * hertz) => {
            format!("Any lamp that lights on both half-waves of {}: {rate} flashes a second.", clean(mains))
        }
        (Some(mains), _) => format!("Any lamp that flashes {rate} times a second, on {}.", clean(mains)),
        _ => format!("Any lamp that flashes {rate} times a second."),
    }
}

fn dark(why: &NoFlash, parts: &str, on: &str) -> String {
    let it = if parts.is_empty() { "It" } else { parts };
    match why {
        NoFlash::Dark => format!("{it} does not light{on}: there is no ring to see."),
        NoFlash::Steady { filled_percent } => format!(
            "{it} does not flash{on}: its mean light is {filled_percent} % of its brightest, so that no ring stands still. Take out what \
             smooths it, or feed it from the rectifier without a capacitor across it."
        ),
        NoFlash::Unsolved { reason } => {
            format!("The lamp could not be solved{on}, so that nothing is known of its flashes: {}.", clean(reason))
        }
    }
}

fn flashes(s: &Strobe, light: &StrobeLight, rate: f64, on: &str) -> String {
    let who = names(&s.lamp.parts);
    let verb = if s.lamp.parts.len() > 1 { "flash" } else { "flashes" };
    let cycle = match light.pace {
        Pace::Own => "at a pace of its own".to_string(),
        Pace::Mains if light.flashes_per_cycle == 2.0 && s.lamp.parts.len() > 1 && light.uneven > 0.0 => {
            "twice a cycle".to_string()
        }
        Pace::Mains if light.flashes_per_cycle == 2.0 => "on both half-waves".to_string(),
        Pace::Mains if light.flashes_per_cycle == 1.0 => "on one half-wave".to_string(),
        Pace::Mains => format!("{} times a cycle", figure(light.flashes_per_cycle)),
    };
    let mut text = format!("{who} {verb} {} times a second{on}, {cycle}.", figure(rate));
    if let Some(lit) = s.lit_seconds {
        text += &format!(" A flash lasts {}", show(lit, "s"));
        if let [Some(low), Some(high)] = light.lit_at_low_and_high {
            text += &format!(" ({} to {} from low to high volts)", show(low, "s"), show(high, "s"));
        }
        text += &light
            .bright_seconds
            .map_or(String::new(), |b| format!(", {} of it above half its brightest", show(b, "s")));
        text.push('.');
    }
    if let Some(left) = light.contrast {
        text += &format!(" {:.0} % of the contrast of the bars is left.", 100.0 * left);
    }
    text
}

fn rings(page: &mut Page, s: &Strobe) {
    if s.rings.is_empty() {
        return;
    }
    page.heading("Rings that stand still");
    let columns = [
        Column::Words("turns a minute"),
        Column::Number("bars"),
        Column::Number("still at"),
        Column::Number("off"),
        Column::Number("a bar fewer"),
        Column::Number("a bar more"),
        Column::Number("bar smears"),
    ];
    let row = |r: &StrobeRing| {
        let beside = |k: i64| {
            let found = r.neighbours.iter().find(|n: &&Neighbour| i64::from(n.bars) == i64::from(r.bars) + k);
            found.map_or("–".to_string(), |n| signed(n.percent))
        };
        let label = if r.stated { format!("{} (your ring)", clean(&r.label)) } else { clean(&r.label) };
        let off = if r.off_percent == 0.0 { "exact".to_string() } else { signed(r.off_percent) };
        let smear = r.smear_of_bar.map_or(String::new(), |x| format!("{x:.1} ×"));
        vec![label, r.bars.to_string(), format!("{:.3}", r.still_at_rpm), off, beside(-1), beside(1), smear]
    };
    table::put(page, &columns, &s.rings.iter().map(row).collect::<Vec<_>>());
    if s.rings.iter().any(|r| r.smear_of_bar.is_some()) {
        page.paragraph("Bar smears: how far a bar moves while the lamp is lit, in widths of a bar.");
    }
    for r in s.rings.iter().filter(|r| r.stated && r.bars_per_flash > 1) {
        let of = f64::from(r.bars_per_flash);
        let at = |turns: f64| figure(r.still_at_rpm * turns / of);
        page.paragraph(&format!(
            "Your ring moves on by {} bars from flash to flash: it also stands still at {} and {}.",
            r.bars_per_flash,
            at(of - 1.0),
            at(of + 1.0)
        ));
    }
    for r in s.rings.iter().filter(|r| r.seen == Some(false)) {
        page.paragraph(&format!("The bars of {} cannot be made out by this light.", clean(&r.label)));
    }
    reading(page, s);
}

/// How a ring is read, and what else stands still.
fn reading(page: &mut Page, s: &Strobe) {
    let Some(rate) = s.flashes_per_second else { return };
    page.paragraph(&format!(
        "Bars that go with the turning: it is fast; against it: slow. {} bars a minute past a mark are 1 %, on every ring.",
        figure(0.01 * 60.0 * rate)
    ));
    s.tolerances.iter().for_each(|t| page.paragraph(&tolerance(t)));
    let told: Vec<String> = s.ghosts.iter().take(MOST_GHOSTS).map(ghost).collect();
    if !told.is_empty() {
        page.paragraph(&format!("A ring seems to stand still also {}.", told.join(", ")));
    }
    if let Some(g) = s.rings.iter().filter_map(|r| r.ghost).max_by_key(|g| g.order).filter(|_| s.light.is_some()) {
        page.paragraph(&format!(
            "The finest ghost that could be taken for a ring has {} times its bars, at 1/{} of its speed: count them.",
            g.order, g.order
        ));
    }
}

/// How far a speed may be off, and what goes by then.
fn tolerance(t: &SpeedTolerance) -> String {
    let [fast, slow] = t.bars_per_minute.map(figure);
    let (allowed, bars) = if t.plus_percent == t.minus_percent {
        (format!("{} either way", percent(t.plus_percent)), format!("{fast} bars a minute"))
    } else {
        let allowed = format!("{} fast and {} slow", percent(t.plus_percent), percent(t.minus_percent));
        (allowed, format!("{fast} bars a minute forward, {slow} backward"))
    };
    format!("{} may be off by {allowed}: {bars} ({}).", t.of, t.source)
}

fn ghost(g: &Ghost) -> String {
    let speed = match (g.turns, g.order) {
        (2, 1) => "at twice its speed".to_string(),
        (n, 1) => format!("at {n} times its speed"),
        (n, order) => format!("at {n}/{order} of its speed, with {order} times the bars"),
    };
    // With the shortest of flashes all of it is left.
    if g.contrast >= 1.0 { speed } else { format!("{speed} ({:.0} % contrast)", 100.0 * g.contrast) }
}

fn drifting(page: &mut Page, d: &Drift) {
    let way = way(d.direction);
    let bars = if d.bars == 1.0 { "bar" } else { "bars" };
    page.heading(&format!("{} {bars} in {}{way}", figure(d.bars), show(d.seconds, "s")));
    let what = match d.direction {
        Way::Forward => format!("{} fast", percent(d.percent)),
        Way::Backward => format!("{} slow", percent(-d.percent)),
        Way::Still => "as fast as the ring".to_string(),
    };
    let mains = d.mains_percent.map_or(String::new(), |m| format!(", and {} by the mains", percent(m)));
    page.paragraph(&format!(
        "It turns {what}, against the speed at which the ring stands still: known to {} either way by the count and the watch{mains}.",
        percent(d.uncertainty_percent)
    ));
    let row = |on: &crate::finding::strobe::DriftOn| {
        vec![
            clean(&on.label),
            on.bars.to_string(),
            format!("{:.3}", on.turns_at_rpm),
            format!("± {:.3}", on.uncertainty_rpm),
            signed(on.off_percent),
        ]
    };
    let columns = [
        Column::Words("ring for"),
        Column::Number("bars"),
        Column::Number("turns a minute"),
        Column::Number(""),
        Column::Number("off its speed"),
    ];
    table::put(page, &columns, &d.speeds.iter().map(row).collect::<Vec<_>>());
}

fn seen_at(page: &mut Page, s: &SeenAt) {
    page.heading(&format!("At {} turns a minute", figure(s.rpm)));
    let ring = format!("the ring of {} bars for {}", s.bars, clean(&s.label));
    let seen = match s.direction {
        Way::Still => format!("{ring} stands still."),
        _ => format!(
            "{ring} drifts by {:.1} bars a minute{}: it is {} {}.",
            s.bars_per_minute.abs(),
            way(s.direction),
            percent(s.percent.abs()),
            if s.direction == Way::Forward { "fast" } else { "slow" }
        ),
    };
    let mut letters = seen.chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    page.paragraph(&format!("{first}{}", letters.as_str()));
    if s.still.bars != s.bars {
        page.paragraph(&format!(
            "The ring that stands still nearest to it has {} bars, at {:.3} ({}).",
            s.still.bars,
            s.still.still_at_rpm,
            signed(s.still.percent)
        ));
    }
}

fn frequency(page: &mut Page, s: &Strobe) {
    if s.flashes_per_second.is_none() || s.mains_frequency.is_empty() {
        return;
    }
    page.heading("What the mains adds: its frequency counts, not its volts");
    let mut sources: Vec<&str> = vec![];
    for band in &s.mains_frequency {
        page.hang(&format!("  ± {:<8}", percent(band.percent)), "            ", &band.place);
        if !sources.contains(&band.source.as_str()) {
            sources.push(&band.source);
        }
    }
    page.paragraph(&format!("({})", sources.join("; ")));
}

fn mind(page: &mut Page, warnings: &[StrobeWarning]) {
    if warnings.is_empty() {
        return;
    }
    page.heading("To mind");
    for w in warnings {
        let lines = super::page::wrap(&format!("{} {}", super::word(w.signal), w.text), page.look, "  ", "    ");
        for (k, line) in lines.iter().enumerate() {
            let painted = line.replacen(super::word(w.signal), &page.look.paint(w.signal), usize::from(k == 0));
            page.line(&painted);
        }
    }
}

/// The answer in a line, which stays on the screen.
fn answer(s: &Strobe) -> String {
    if s.dark.is_some() {
        return "No ring stands still under this lamp: none can be drawn for it.".into();
    }
    let rings: Vec<String> =
        s.rings.iter().filter(|r| !r.stated).map(|r| format!("{} bars for {}", r.bars, clean(&r.label))).collect();
    match rings.as_slice() {
        [] => "No speed was asked for.".into(),
        list => format!("Ring: {}.", list.join(", ")),
    }
}

fn way(way: Way) -> &'static str {
    match way {
        Way::Forward => " forward",
        Way::Backward => " backward",
        Way::Still => "",
    }
}

fn names(parts: &[String]) -> String {
    let cleaned: Vec<String> = parts.iter().map(|p| clean(p)).collect();
    crate::wording::join::list(&cleaned)
}

fn percent(percent: f64) -> String {
    let digits = if percent.abs() < 0.1 { DIGITS + 1 } else { DIGITS };
    let text = format!("{percent:.digits$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    format!("{} %", if text.is_empty() || text == "-" { "0" } else { text })
}

fn signed(percent: f64) -> String {
    let text = format!("{:.DIGITS$} %", percent.abs());
    if percent < 0.0 { format!("-{text}") } else { format!("+{text}") }
}

/// Up to five figures, without noughts behind the point.
fn figure(x: f64) -> String {
    let text = format!("{x:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}
