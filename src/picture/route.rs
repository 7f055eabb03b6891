//! Wires: every pin of a net joined by straight pieces that go through nothing, lie on nothing, and cross at right angles.

use super::path::Grid;
use super::symbol::Symbol;
use super::{Area, Point, STEP, Way};
use crate::format::NetId;
use std::collections::BTreeMap;

/// A straight piece of a wire, its first end to the left of or above its second.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Piece {
    /// One end.
    pub from: Point,
    /// The other.
    pub to: Point,
}

impl Piece {
    /// Whether it runs along a row.
    pub(crate) fn is_level(&self) -> bool {
        self.from.y == self.to.y
    }

    /// Steps from end to end.
    pub(crate) fn length(&self) -> i32 {
        self.to.x - self.from.x + self.to.y - self.from.y
    }

    /// What it covers: a line has no breadth, so it is given a little.
    pub(crate) fn area(&self) -> Area {
        let step = f64::from(STEP);
        let points = [self.from.x, self.from.y, self.to.x, self.to.y].map(|n| f64::from(n) * step);
        Area { left: points[0], top: points[1], right: points[2], bottom: points[3] }.grown(0.5)
    }
}

/// Everything that joins the pins of one net.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Wire {
    /// The net.
    pub net: NetId,
    /// Its straight pieces.
    pub pieces: Vec<Piece>,
    /// Where three or more of them meet.
    pub joints: Vec<Point>,
}

/// How often the order of the nets is changed before a layout is given up.
const PATIENCE: usize = 12;

/// Wires between the pins of symbols. `areas` are to be left free besides; no wire leaves the grid of this breadth and height.
///
/// # Errors
/// A net that found no way.
pub(super) fn wires(symbols: &[Symbol], areas: &[Area], size: Point) -> Result<Vec<Wire>, NetId> {
    let mut empty = Grid::new(size.x, size.y);
    symbols.iter().for_each(|s| cover(&mut empty, s));
    areas.iter().for_each(|area| block(&mut empty, &area.grown(2.0)));
    let mut nets: BTreeMap<NetId, Vec<(Point, Way)>> = BTreeMap::new();
    for pin in symbols.iter().flat_map(|s| &s.pins) {
        nets.entry(pin.net).or_default().push((pin.at, pin.out));
    }
    for (net, pins) in &nets {
        for (at, out) in pins {
            empty.block(*at);
            empty.keep(at.step(*out, 1), number(*net));
        }
    }
    let mut order: Vec<NetId> = nets.keys().copied().collect();
    order.sort_by_key(|net| (spread(&nets[net]), *net));
    let mut failed = 0;
    for _ in 0..PATIENCE {
        match all(&order, &nets, empty.clone()) {
            Ok(wires) => return Ok(wires),
            Err(net) => {
                failed = net;
                order.retain(|n| *n != net);
                order.insert(0, net);
            }
        }
    }
    Err(failed)
}

/// As the grid counts nets.
fn number(net: NetId) -> u32 {
    u32::try_from(net + 1).unwrap_or(u32::MAX)
}

/// How far its pins lie apart: what is near is joined first.
fn spread(pins: &[(Point, Way)]) -> i32 {
    let range = |of: fn(&Point) -> i32| {
        let all = pins.iter().map(|(p, _)| of(p));
        all.clone().max().unwrap_or(0) - all.min().unwrap_or(0)
    };
    range(|p| p.x) + range(|p| p.y)
}

/// No wire goes through a symbol, its leads or its words.
fn cover(grid: &mut Grid, symbol: &Symbol) {
    block(grid, &symbol.body);
    symbol.lines.iter().for_each(|line| block(grid, &line.area().grown(2.0)));
    for (pin, end) in symbol.leads() {
        let (x, y) = ((end.x - pin.x).signum(), (end.y - pin.y).signum());
        let mut at = pin;
        while at != end {
            at = Point { x: at.x + x, y: at.y + y };
            grid.block(at);
        }
    }
}

fn block(grid: &mut Grid, area: &Area) {
    let step = f64::from(STEP);
    let (from_x, to_x) = ((area.left / step).ceil() as i32, (area.right / step).floor() as i32);
    let (from_y, to_y) = ((area.top / step).ceil() as i32, (area.bottom / step).floor() as i32);
    for y in from_y..=to_y {
        (from_x..=to_x).for_each(|x| grid.block(Point { x, y }));
    }
}

fn all(order: &[NetId], nets: &BTreeMap<NetId, Vec<(Point, Way)>>, mut grid: Grid) -> Result<Vec<Wire>, NetId> {
    let mut wires = vec![];
    for net in order {
        let edges = one(*net, &nets[net], &mut grid).ok_or(*net)?;
        wires.push(wire(*net, &edges));
    }
    wires.sort_by_key(|w| w.net);
    Ok(wires)
}

/// The steps of the grid that join the pins of a net.
fn one(net: NetId, pins: &[(Point, Way)], grid: &mut Grid) -> Option<Vec<(Point, Point)>> {
    let mut pins: Vec<(Point, Way)> = pins.to_vec();
    pins.sort_by_key(|(p, _)| (p.x, p.y));
    // What ends where it begins needs no way; its name stands close by.
    if let [(at, out)] = pins[..] {
        return Some(vec![(at, at.step(out, 1))]);
    }
    let mut edges = vec![];
    let mut tree: Vec<Point> = vec![];
    let mut left: Vec<(Point, Way)> = vec![];
    for (at, out) in pins {
        let stub = at.step(out, 1);
        if grid.is_blocked(stub) {
            return None;
        }
        edges.push((at, stub));
        left.push((stub, out));
    }
    while !left.is_empty() {
        let far = |p: &Point| tree.iter().map(|t| (t.x - p.x).abs() + (t.y - p.y).abs()).min().unwrap_or(0);
        let nearest = (0..left.len()).min_by_key(|k| (far(&left[*k].0), *k))?;
        let (stub, out) = left.remove(nearest);
        if tree.is_empty() {
            tree.push(stub);
            continue;
        }
        let goals: Vec<usize> = tree.iter().filter_map(|p| grid.at(*p)).collect();
        let way = grid.way(number(net), stub, out, &goals)?;
        grid.lay(&way, number(net));
        edges.extend(way.windows(2).map(|pair| (pair[0], pair[1])));
        tree.extend(way);
    }
    Some(edges)
}

/// Steps of the grid made into straight pieces and joints.
fn wire(net: NetId, edges: &[(Point, Point)]) -> Wire {
    let mut edges: Vec<(Point, Point)> = edges.iter().map(|(a, b)| (*a.min(b), *a.max(b))).collect();
    edges.sort();
    edges.dedup();
    let mut degree: BTreeMap<Point, usize> = BTreeMap::new();
    edges.iter().flat_map(|(a, b)| [a, b]).for_each(|p| *degree.entry(*p).or_default() += 1);
    let joints: Vec<Point> = degree.iter().filter(|(_, n)| **n > 2).map(|(p, _)| *p).collect();
    let mut pieces: Vec<Piece> = vec![];
    let (level, upright): (Vec<_>, Vec<_>) = edges.into_iter().partition(|(a, b)| a.y == b.y);
    let mut level = level;
    level.sort_by_key(|(a, _)| (a.y, a.x));
    for (from, to) in level.into_iter().chain(upright) {
        match pieces.last_mut() {
            Some(last) if last.to == from && last.is_level() == (from.y == to.y) => last.to = to,
            _ => pieces.push(Piece { from, to }),
        }
    }
    Wire { net, pieces, joints }
}
