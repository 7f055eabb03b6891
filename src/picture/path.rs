//! The cheapest way over the grid: short, with few corners and few crossings, through nothing and along nobody's wire.

use super::{Point, Way};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// What a step, a corner and a crossing cost, and a step beside another wire besides.
const STEP_COST: u32 = 10;
const CORNER: u32 = 45;
const CROSSING: u32 = 35;
const BESIDE: u32 = 2;

/// The grid and what lies on it. Nets are counted from 1; 0 is nobody.
#[derive(Debug, Clone)]
pub(super) struct Grid {
    wide: i32,
    high: i32,
    /// Where no wire may be.
    blocked: Vec<bool>,
    /// Whose wire runs along the row, and along the column.
    level: Vec<u32>,
    upright: Vec<u32>,
    /// Whose pin, corner or joint a point is: nobody else may cross there.
    fixed: Vec<u32>,
}

impl Grid {
    /// An empty one.
    pub(super) fn new(wide: i32, high: i32) -> Grid {
        let size = usize::try_from(wide.max(0) * high.max(0)).unwrap_or(0);
        Grid {
            wide,
            high,
            blocked: vec![false; size],
            level: vec![0; size],
            upright: vec![0; size],
            fixed: vec![0; size],
        }
    }

    /// The number of a point; `None` outside.
    pub(super) fn at(&self, p: Point) -> Option<usize> {
        let inside = p.x >= 0 && p.y >= 0 && p.x < self.wide && p.y < self.high;
        inside.then(|| (p.y * self.wide + p.x) as usize)
    }

    fn point(&self, at: usize) -> Point {
        Point { x: at as i32 % self.wide, y: at as i32 / self.wide }
    }

    /// Lets no wire onto a point.
    pub(super) fn block(&mut self, p: Point) {
        if let Some(at) = self.at(p) {
            self.blocked[at] = true;
        }
    }

    /// Whether no wire may be there.
    pub(super) fn is_blocked(&self, p: Point) -> bool {
        self.at(p).is_none_or(|at| self.blocked[at])
    }

    /// Keeps a point for a net.
    pub(super) fn keep(&mut self, p: Point, net: u32) {
        if let Some(at) = self.at(p) {
            self.fixed[at] = net;
        }
    }

    /// Lays a wire along points that follow one another.
    pub(super) fn lay(&mut self, way: &[Point], net: u32) {
        for pair in way.windows(2) {
            let level = pair[0].y == pair[1].y;
            for p in pair {
                if let Some(at) = self.at(*p) {
                    let whose = if level { &mut self.level } else { &mut self.upright };
                    whose[at] = net;
                }
            }
        }
        for three in way.windows(3) {
            if (three[0].x != three[2].x) && (three[0].y != three[2].y) {
                self.keep(three[1], net);
            }
        }
        way.first().into_iter().chain(way.last()).for_each(|p| self.keep(*p, net));
    }

    fn foreign(whose: u32, net: u32) -> bool {
        whose != 0 && whose != net
    }

    /// The points of the cheapest way from one, which is left in any direction but back, to any of the points of the tree.
    pub(super) fn way(&self, net: u32, from: Point, leaving: Way, tree: &[usize]) -> Option<Vec<Point>> {
        let start = self.at(from)?;
        if tree.contains(&start) {
            return Some(vec![from]);
        }
        let mut is_goal = vec![false; self.blocked.len()];
        tree.iter().for_each(|at| is_goal[*at] = true);
        let reach = Reach::of(tree.iter().map(|at| self.point(*at)));
        let mut best = vec![u32::MAX; 4 * self.blocked.len()];
        let mut came = vec![u32::MAX; 4 * self.blocked.len()];
        let mut open = BinaryHeap::new();
        let first = start * 4 + leaving as usize;
        best[first] = 0;
        open.push(Reverse((reach.far(from), first)));
        while let Some(Reverse((_, state))) = open.pop() {
            let (at, heading) = (state / 4, Way::ALL[state % 4]);
            if is_goal[at] {
                return Some(self.traced(state, &came));
            }
            let here = self.point(at);
            for way in Way::ALL {
                let Some((next, cost)) = self.step(net, (at, here), (heading, way), &is_goal) else { continue };
                let cost = best[state] + cost;
                let to = next * 4 + way as usize;
                if cost < best[to] {
                    best[to] = cost;
                    came[to] = state as u32;
                    open.push(Reverse((cost + reach.far(self.point(next)), to)));
                }
            }
        }
        None
    }

    /// The point one step on and what it costs; `None` where one may not go.
    fn step(
        &self,
        net: u32,
        (at, here): (usize, Point),
        (heading, way): (Way, Way),
        is_goal: &[bool],
    ) -> Option<(usize, u32)> {
        let turns = heading != way;
        if turns && (heading.is_level() == way.is_level()) {
            return None;
        }
        // Nobody turns on another's wire.
        if turns && (Self::foreign(self.level[at], net) || Self::foreign(self.upright[at], net)) {
            return None;
        }
        let next = self.at(here.step(way, 1))?;
        if self.blocked[next] || Self::foreign(self.fixed[next], net) {
            return None;
        }
        let (along, across) = if way.is_level() { (&self.level, &self.upright) } else { (&self.upright, &self.level) };
        if Self::foreign(along[next], net) {
            return None;
        }
        let crosses = Self::foreign(across[next], net);
        if crosses && is_goal[next] {
            return None;
        }
        let sides = if way.is_level() { [Way::Up, Way::Down] } else { [Way::Left, Way::Right] };
        let point = here.step(way, 1);
        let beside = sides.iter().filter_map(|s| self.at(point.step(*s, 1))).filter(|n| along[*n] != 0).count();
        let cost = STEP_COST
            + if turns { CORNER } else { 0 }
            + if crosses { CROSSING } else { 0 }
            + BESIDE * u32::try_from(beside).unwrap_or(0);
        Some((next, cost))
    }

    fn traced(&self, last: usize, came: &[u32]) -> Vec<Point> {
        let mut way = vec![self.point(last / 4)];
        let mut state = last;
        while came[state] != u32::MAX {
            state = came[state] as usize;
            way.push(self.point(state / 4));
        }
        way
    }
}

/// The least rectangle round some points.
struct Reach {
    from: Point,
    to: Point,
}

impl Reach {
    fn of(points: impl Iterator<Item = Point>) -> Reach {
        let none = Reach { from: Point { x: i32::MAX, y: i32::MAX }, to: Point { x: i32::MIN, y: i32::MIN } };
        points.fold(none, |r, p| Reach {
            from: Point { x: r.from.x.min(p.x), y: r.from.y.min(p.y) },
            to: Point { x: r.to.x.max(p.x), y: r.to.y.max(p.y) },
        })
    }

    /// What it costs at least to come there.
    fn far(&self, p: Point) -> u32 {
        let x = (self.from.x - p.x).max(p.x - self.to.x).max(0);
        let y = (self.from.y - p.y).max(p.y - self.to.y).max(0);
        u32::try_from(x + y).unwrap_or(0) * STEP_COST
    }
}
