//! The room's front door: steady states, transients and waveforms of one circuit at any supply level.

use super::machine::{Machine, Trace, Walk, ladder_step, polynomial, taylor_terms};
use super::measure::{self, Sum};
use super::mode::{TAYLOR, turn};
use super::topology::{Plan, Role, plan};
use super::{Circuit, Device, Lighting, Quantities, Repeats, Steady, Unsolved, algebraic, phasor, shooting};
use phasor::Phasors;

/// Rounds of the filament loop; it contracts by about a third a round, secants then do the rest.
const FILAMENT_ROUNDS: usize = 60;
/// Relative change of resistance at which a filament counts as settled.
const FILAMENT_SETTLED: f64 = 1e-10;

/// Start of a transient.
#[derive(Debug, Clone, Default)]
pub struct Start {
    /// Angle of the mains at the start, radians (0 = rising zero of a source with phase 0).
    pub angle: f64,
    /// Capacitor volts and inductor amperes, one a branch (0 for others); empty = rest.
    pub state: Vec<f64>,
}

/// End of a transient.
#[derive(Debug, Clone, Copy, Default)]
pub struct Until {
    /// Seconds at most.
    pub seconds: f64,
    /// Ends earlier when the magnitude of this branch's voltage has fallen below so many volts.
    pub falls_below: Option<(usize, f64)>,
}

/// A transient.
#[derive(Debug, Clone)]
pub struct Transient {
    /// Quantities over the run, one a branch.
    pub branches: Vec<Quantities>,
    /// Capacitor volts and inductor amperes at the end, one a branch.
    pub state: Vec<f64>,
    /// Branch volts at the end.
    pub volts: Vec<f64>,
    /// When it ended, seconds.
    pub seconds: f64,
    /// Energy taken, joules, one a branch.
    pub energy: Vec<f64>,
    /// Integral of the squared current, A² s, one a branch.
    pub i2t: Vec<f64>,
    /// |sum of all energies| over the sum of the volt-ampere-seconds.
    pub residual: f64,
    /// True when a device had to be held in an inconsistent state to get past one instant.
    pub forced: bool,
}

/// The trace of the last steady state, from which waveforms are drawn.
enum Last {
    None,
    Algebraic(algebraic::Cycle, f64),
    Stored(Trace, Repeats),
    Linear(Phasors),
}

/// A circuit ready to be solved. Its mode matrices are kept, so solving at another supply level or with the plug the
/// other way round costs less than the first time.
pub struct Solver {
    circuit: Circuit,
    machine: Machine,
    ohms: Vec<f64>,
    filaments: Vec<usize>,
    last: Last,
    /// Largest current of each branch in the last steady state.
    peaks: Vec<f64>,
}

/// z after `h` seconds in one mode, for any `h`.
pub(super) fn jump(m: &Machine, mode: usize, z: &[f64], h: f64, out: &mut [f64]) {
    let (n, nz) = (m.plan.n, m.plan.nz);
    let md = &m.modes[mode];
    let finest = m.plan.base / 2f64.powi(md.finest as i32);
    out.copy_from_slice(z);
    let mut left = h;
    let mut next = vec![0.0; nz];
    if !md.ladder.is_empty() {
        for k in 0..=md.finest {
            let step = m.plan.base / 2f64.powi(k as i32);
            while left >= step {
                let (c, s) = turn(m.plan.omega * step);
                ladder_step(n, nz, &md.ladder[k], out, c, s, &mut next);
                out.copy_from_slice(&next);
                left -= step;
            }
        }
    }
    let mut terms = vec![0.0; (TAYLOR + 1) * nz];
    while left > 0.0 {
        let step = left.min(finest);
        taylor_terms(&m.plan, &md.rate, out, &mut terms);
        polynomial(&terms, nz, step, &mut next);
        out.copy_from_slice(&next);
        left -= step;
    }
}

fn cold_ohms(c: &Circuit) -> Vec<f64> {
    c.branches
        .iter()
        .map(|b| match b.device {
            Device::Filament { volts, watts, cold_ratio, .. } => volts * volts / watts * cold_ratio,
            _ => 0.0,
        })
        .collect()
}

impl Solver {
    /// Prepares a circuit.
    ///
    /// # Errors
    /// [`Unsolved::BadValue`] for a value outside its model's range, [`Unsolved::SourceLoop`] for sources joined directly.
    pub fn new(circuit: &Circuit) -> Result<Solver, Unsolved> {
        let filaments: Vec<usize> = (0..circuit.branches.len())
            .filter(|&k| matches!(circuit.branches[k].device, Device::Filament { .. }))
            .collect();
        let ohms = cold_ohms(circuit);
        let machine = Machine::new(plan(circuit, &ohms)?);
        Ok(Solver { circuit: circuit.clone(), machine, ohms, filaments, last: Last::None, peaks: vec![] })
    }

    /// Periodic steady state from rest. `scale` multiplies every source's sine: the supply level, negative for the plug
    /// the other way round.
    ///
    /// # Errors
    /// [`Unsolved`] when no trustworthy solution exists.
    pub fn steady(&mut self, scale: f64) -> Result<Steady, Unsolved> {
        if self.filaments.is_empty() {
            return self.settled(scale);
        }
        // Filaments: resistance from own mean power, log-log, one fixed-point step and then secants for each lamp.
        let mut previous: Option<(Vec<f64>, Vec<f64>)> = None;
        for _ in 0..FILAMENT_ROUNDS {
            let solution = self.settled(scale)?;
            let here: Vec<f64> = self.filaments.iter().map(|&k| self.ohms[k].ln()).collect();
            let there: Vec<f64> =
                self.filaments.iter().map(|&k| self.filament_ohms(k, solution.branches[k].power).ln()).collect();
            let off: Vec<f64> = there.iter().zip(&here).map(|(t, h)| t - h).collect();
            if off.iter().all(|d| d.abs() < FILAMENT_SETTLED) {
                return Ok(solution);
            }
            let next: Vec<f64> = (0..here.len())
                .map(|k| {
                    let step = previous.as_ref().and_then(|(h, o)| {
                        let slope = (off[k] - o[k]) / (here[k] - h[k]);
                        (slope.is_finite() && slope < -0.2).then(|| -off[k] / slope)
                    });
                    let (low, high) = self.filament_range(self.filaments[k]);
                    (here[k] + step.unwrap_or(0.7 * off[k])).clamp(low.ln(), high.ln())
                })
                .collect();
            for (&k, &x) in self.filaments.iter().zip(&next) {
                self.ohms[k] = x.exp();
            }
            previous = Some((here, off));
            self.machine = Machine::new(plan(&self.circuit, &self.ohms)?);
        }
        Err(Unsolved::Lost { what: "a filament lamp's resistance did not settle" })
    }

    /// Resistance of a filament that takes `power` watts.
    fn filament_ohms(&self, branch: usize, power: f64) -> f64 {
        let Device::Filament { volts, watts, exponent, .. } = self.circuit.branches[branch].device else {
            return 1.0;
        };
        let (low, high) = self.filament_range(branch);
        // i ~ v^p gives R ~ v^(1-p) and P ~ v^(1+p).
        let hot = volts * volts / watts;
        (hot * (power.max(0.0) / watts).powf((1.0 - exponent) / (1.0 + exponent))).clamp(low, high)
    }

    fn filament_range(&self, branch: usize) -> (f64, f64) {
        let Device::Filament { volts, watts, cold_ratio, .. } = self.circuit.branches[branch].device else {
            return (1.0, 1.0);
        };
        let hot = volts * volts / watts;
        (hot * cold_ratio, hot * 10.0)
    }

    fn settled(&mut self, scale: f64) -> Result<Steady, Unsolved> {
        let p = &self.machine.plan;
        let (own, period) = (p.own, 2.0 * std::f64::consts::PI / p.omega);
        if p.n == 0
            && let Some(cycle) = algebraic::solve(&mut self.machine, scale)
        {
            let sums = algebraic::sums(&self.machine, &cycle, scale);
            let span = std::f64::consts::TAU * f64::from(cycle.cycles);
            let (branches, residual) = finish(&sums, own, span, self.machine.plan.rounding(scale));
            let cycles = cycle.cycles;
            self.peaks = branches.iter().map(|q| q.i_max).collect();
            self.last = Last::Algebraic(cycle, scale);
            return Ok(Steady {
                repeats: Repeats::Mains { cycles },
                branches,
                residual,
                cycles_run: cycles + 1,
                slowest_s: 0.0,
                leaks: self.machine.plan.leaks,
                forced: false,
                state: vec![0.0; own],
            });
        }
        if self.machine.plan.n > 0
            && self.machine.plan.switching.is_empty()
            && let Some(phasors) = phasor::solve_phasors(&mut self.machine, scale)
        {
            let (branches, residual) =
                finish(&phasors.sums(&self.machine), own, 1.0, self.machine.plan.rounding(scale));
            let mut z = vec![0.0; self.machine.plan.nz];
            phasors.at(0.0, &mut z);
            let state = self.branch_state(&z);
            self.peaks = branches.iter().map(|q| q.i_max).collect();
            let slowest_s = slowest(&self.machine, phasors.mode);
            self.last = Last::Linear(phasors);
            return Ok(Steady {
                repeats: Repeats::Mains { cycles: 1 },
                branches,
                residual,
                cycles_run: 1,
                slowest_s,
                leaks: self.machine.plan.leaks,
                forced: false,
                state,
            });
        }
        let found = shooting::steady(&mut self.machine, scale)?;
        let m = &self.machine;
        let mut sums = vec![Sum::NEW; m.plan.links.len()];
        measure::add(m, &found.trace, &mut sums);
        let cycles = match found.repeats {
            Repeats::Mains { cycles } | Repeats::Window { cycles } => cycles,
        };
        let span = period * f64::from(cycles);
        let (branches, residual) = finish(&sums, own, span, self.machine.plan.rounding(scale));
        if branches.iter().any(|q| !q.v_rms.is_finite() || !q.i_rms.is_finite()) {
            return Err(Unsolved::Lost { what: "numbers left the finite range" });
        }
        let state = self.branch_state(&found.trace.z[..m.plan.nz]);
        let out = Steady {
            repeats: found.repeats,
            branches,
            residual,
            cycles_run: found.cycles_run,
            slowest_s: found.slowest_s,
            leaks: m.plan.leaks,
            forced: found.trace.forced,
            state,
        };
        self.peaks = out.branches.iter().map(|q| q.i_max).collect();
        self.last = Last::Stored(found.trace, found.repeats);
        Ok(out)
    }

    /// When a glow lamp or LED is lit in the steady state last solved; `None` for other parts.
    pub fn lighting(&self, branch: usize) -> Option<Lighting> {
        let m = &self.machine;
        let device = m.plan.links.get(branch)?.device;
        if !measure::lights(&device) {
            return None;
        }
        let peak = self.peaks.get(branch).copied().unwrap_or(0.0);
        match &self.last {
            Last::None | Last::Linear(_) => None,
            Last::Algebraic(cycle, scale) => Some(algebraic::lighting(m, cycle, *scale, branch, peak)),
            Last::Stored(trace, repeats) => {
                let period = 2.0 * std::f64::consts::PI / m.plan.omega;
                let span = trace.steps.last().map_or(period, |s| s.t + s.h);
                match (device, m.plan.switching.iter().position(|&x| x == branch)) {
                    (Device::Neon { .. }, Some(d)) => Some(measure::neon_lighting(m, trace, d, span, period, *repeats)),
                    _ => Some(measure::led_lighting(m, trace, branch, peak, span, period)),
                }
            }
        }
    }

    /// Capacitor volts and inductor amperes by branch.
    fn branch_state(&self, z: &[f64]) -> Vec<f64> {
        let p = &self.machine.plan;
        (0..p.own)
            .map(|b| match p.links[b].role {
                Role::Tree(k) => z[k],
                Role::Coil(k) => z[p.nc + k],
                Role::Link => super::linear::dot(p.w(b), z),
                _ => 0.0,
            })
            .collect()
    }

    /// A transient. Filament lamps keep the resistance they have: cold after [`Solver::new`], settled after
    /// [`Solver::steady`].
    ///
    /// # Errors
    /// [`Unsolved`] when the walk through time fails.
    pub fn transient(&mut self, scale: f64, start: &Start, until: &Until) -> Result<Transient, Unsolved> {
        // Which state every device takes shows in the first step only.
        if until.seconds.is_nan() || until.seconds <= 0.0 {
            return Err(Unsolved::Lost { what: "a transient of no duration was asked for" });
        }
        let mut walk = self.begin(scale, start)?;
        let m = &mut self.machine;
        m.effort = 0;
        let (own, nz) = (m.plan.own, m.plan.nz);
        let chunk = (32.0 * m.plan.base).max(until.seconds / 64.0);
        let mut sums = vec![Sum::NEW; m.plan.links.len()];
        let mut trace = Trace::default();
        let (mut t, mut forced) = (0.0, false);
        let mut last_mode = 0;
        'run: while t < until.seconds {
            let span = chunk.min(until.seconds - t);
            m.walk(&mut walk, span, &mut trace, None)?;
            forced |= trace.forced;
            if let Some((b, volts)) = until.falls_below
                && let Some(cut) = fall(m, &trace, b, volts)
            {
                cut_at(m, &mut trace, cut);
                walk.z.copy_from_slice(&trace.z[trace.z.len() - nz..]);
                measure::add(m, &trace, &mut sums);
                last_mode = trace.steps.last().map_or(last_mode, |s| s.mode);
                t += cut;
                break 'run;
            }
            measure::add(m, &trace, &mut sums);
            last_mode = trace.steps.last().map_or(last_mode, |s| s.mode);
            t += span;
        }
        let over = if t > 0.0 { t } else { 1.0 };
        let (branches, residual) = finish(&sums, own, over, m.plan.rounding(scale));
        let mode = &m.modes[last_mode];
        let volts = (0..own).map(|b| super::mode::at(&mode.v, b, &walk.z)).collect();
        Ok(Transient {
            energy: sums[..own].iter().map(|s| s.vi).collect(),
            i2t: sums[..own].iter().map(|s| s.ii).collect(),
            branches,
            state: self.branch_state(&walk.z),
            volts,
            seconds: t,
            residual,
            forced,
        })
    }

    /// State at the start of a transient. Capacitors in a loop share their charge before anything else happens.
    fn begin(&mut self, scale: f64, start: &Start) -> Result<Walk, Unsolved> {
        let mut walk = self.machine.rest(scale, start.angle);
        let p: &Plan = &self.machine.plan;
        let given = |b: usize| start.state.get(b).copied().unwrap_or(0.0);
        for (k, &b) in p.coils.iter().enumerate() {
            walk.z[p.nc + k] = given(b);
        }
        // (Ct + F' Cl F) x = Ct v_tree + F' Cl (v_link - F_e e): identical to v_tree when the loop is consistent.
        let nc = p.nc;
        let mut x: Vec<f64> = p.tree.iter().map(|&b| given(b)).collect();
        if !p.closing.is_empty() {
            for (k, &b) in p.tree.iter().enumerate() {
                if let Device::Capacitor { farads } = p.links[b].device {
                    x[k] *= farads;
                }
            }
            for &b in &p.closing {
                let Device::Capacitor { farads } = p.links[b].device else {
                    continue;
                };
                let w = p.w(b);
                let forced = super::linear::dot(&w[p.n..], &walk.z[p.n..]);
                for k in 0..nc {
                    x[k] += w[k] * farads * (given(b) - forced);
                }
            }
            if !super::linear::solve(&mut p.capacitance.clone(), &mut x, nc, 1) {
                return Err(Unsolved::Lost { what: "capacitors in a loop could not share their charge" });
            }
        }
        walk.z[..nc].copy_from_slice(&x);
        Ok(walk)
    }

    /// Voltage and current of every branch at `points` instants evenly over the period of the steady state (outer index
    /// = branch; the first point is the rising zero of the mains).
    ///
    /// # Errors
    /// As [`Solver::steady`].
    pub fn waveform(&mut self, scale: f64, points: usize) -> Result<Vec<Vec<(f64, f64)>>, Unsolved> {
        self.steady(scale)?;
        let m = &self.machine;
        let (own, nz) = (m.plan.own, m.plan.nz);
        let mut out = vec![Vec::with_capacity(points); own];
        let mut put = |mode: usize, z: &[f64]| {
            for (b, list) in out.iter_mut().enumerate() {
                list.push((super::mode::at(&m.modes[mode].v, b, z), super::mode::at(&m.modes[mode].i, b, z)));
            }
        };
        match &self.last {
            Last::Algebraic(cycle, scale) => {
                let span = std::f64::consts::TAU * f64::from(cycle.cycles);
                for k in 0..points {
                    let a = span * k as f64 / points as f64;
                    if let Some(p) = cycle.pieces.iter().find(|p| a < p.to).or(cycle.pieces.last()) {
                        put(p.mode, &[1.0, scale * a.sin(), scale * a.cos()]);
                    }
                }
            }
            Last::Stored(trace, _) => {
                let span = trace.steps.last().map_or(0.0, |s| s.t + s.h);
                let mut z = vec![0.0; nz];
                let mut at = 0;
                for k in 0..points {
                    let t = span * k as f64 / points as f64;
                    while at + 1 < trace.steps.len() && trace.steps[at + 1].t <= t {
                        at += 1;
                    }
                    let step = &trace.steps[at];
                    jump(m, step.mode, &trace.z[at * nz..(at + 1) * nz], t - step.t, &mut z);
                    put(step.mode, &z);
                }
            }
            Last::Linear(phasors) => {
                let mut z = vec![0.0; nz];
                for k in 0..points {
                    phasors.at(std::f64::consts::TAU * k as f64 / points as f64, &mut z);
                    put(phasors.mode, &z);
                }
            }
            Last::None => {}
        }
        Ok(out)
    }

    /// Capacitor volts and inductor amperes of the steady state at `points` angles evenly over its first cycle
    /// (outer index = point), for transients that start anywhere in the cycle.
    ///
    /// # Errors
    /// As [`Solver::steady`].
    pub fn states_over_cycle(&mut self, scale: f64, points: usize) -> Result<Vec<Vec<f64>>, Unsolved> {
        self.steady(scale)?;
        let m = &self.machine;
        let nz = m.plan.nz;
        if let Last::Linear(phasors) = &self.last {
            let mut z = vec![0.0; nz];
            let state = |k: usize| {
                phasors.at(std::f64::consts::TAU * k as f64 / points as f64, &mut z);
                self.branch_state(&z)
            };
            return Ok((0..points).map(state).collect());
        }
        let Last::Stored(trace, _) = &self.last else {
            return Ok(vec![vec![0.0; m.plan.own]; points]);
        };
        let period = 2.0 * std::f64::consts::PI / m.plan.omega;
        let mut z = vec![0.0; nz];
        let mut at = 0;
        Ok((0..points)
            .map(|k| {
                let t = period * k as f64 / points as f64;
                while at + 1 < trace.steps.len() && trace.steps[at + 1].t <= t {
                    at += 1;
                }
                let step = &trace.steps[at];
                jump(m, step.mode, &trace.z[at * nz..(at + 1) * nz], t - step.t, &mut z);
                self.branch_state(&z)
            })
            .collect())
    }
}

/// Slowest time constant of a linear circuit by inverse iteration: the smallest eigenvalue's. Conserved states last for
/// ever and are not meant.
fn slowest(m: &Machine, mode: usize) -> f64 {
    let (n, nz) = (m.plan.n, m.plan.nz);
    let mut a: Vec<f64> = (0..n * n).map(|k| m.modes[mode].rate[k / n * nz + k % n]).collect();
    let weight = (0..n).map(|k| a[k * n + k].abs()).fold(m.plan.omega, f64::max);
    for c in &m.plan.conserved {
        for i in 0..n {
            for j in 0..n {
                a[i * n + j] -= weight * c[i] * c[j];
            }
        }
    }
    let mut x: Vec<f64> = (0..n).map(|k| 1.0 + k as f64 * 0.1).collect();
    let mut size = 0.0;
    for _ in 0..6 {
        if !super::linear::solve(&mut a.clone(), &mut x, n, 1) {
            return 0.0;
        }
        size = x.iter().fold(0.0f64, |s, v| s.max(v.abs()));
        if size == 0.0 || !size.is_finite() {
            return 0.0;
        }
        x.iter_mut().for_each(|v| *v /= size);
    }
    size
}

/// Quantities of the caller's branches and the energy residual over all links.
fn finish(sums: &[Sum], own: usize, span: f64, rounding: f64) -> (Vec<Quantities>, f64) {
    // Against volt-amperes: where hardly any real power flows, rounding is all there is of it. And less what rounding
    // alone may leave in the best conductor of a circuit in which hardly any current flows.
    let (total, size) = sums.iter().fold((0.0, 0.0), |(t, s), x| (t + x.vi, s + (x.vv * x.ii).max(0.0).sqrt()));
    let left = (total.abs() - rounding * span).max(0.0);
    let residual = if left > 0.0 { left / size } else { 0.0 };
    (sums[..own].iter().map(|s| s.over(span)).collect(), residual)
}

/// First instant of a trace at which the branch's voltage magnitude is below `volts`.
fn fall(m: &Machine, trace: &Trace, branch: usize, volts: f64) -> Option<f64> {
    let nz = m.plan.nz;
    let mut z = vec![0.0; nz];
    let size = |mode: usize, z: &[f64]| super::mode::at(&m.modes[mode].v, branch, z).abs();
    for (k, step) in trace.steps.iter().enumerate() {
        let start = &trace.z[k * nz..(k + 1) * nz];
        if size(step.mode, start) < volts {
            return Some(step.t);
        }
        if size(step.mode, &trace.z[(k + 1) * nz..(k + 2) * nz]) < volts {
            let (mut low, mut high) = (0.0, step.h);
            for _ in 0..60 {
                let mid = 0.5 * (low + high);
                jump(m, step.mode, start, mid, &mut z);
                if size(step.mode, &z) < volts { high = mid } else { low = mid }
            }
            return Some(step.t + high);
        }
    }
    None
}

/// Ends a trace at `t`.
fn cut_at(m: &mut Machine, trace: &mut Trace, t: f64) {
    let nz = m.plan.nz;
    let keep = trace.steps.iter().take_while(|s| s.t + s.h <= t).count();
    let rest = trace.steps.get(keep).map(|s| (s.mode, t - s.t, s.t));
    trace.steps.truncate(keep);
    trace.z.truncate((keep + 1) * nz);
    if let Some((mode, left, mut from)) = rest {
        // The quadrature wants Taylor steps short against the mode.
        let finest = m.plan.base / 2f64.powi(m.modes[mode].finest as i32);
        let parts = (left / finest).ceil().max(1.0);
        let mut z = vec![0.0; nz];
        if left > 0.0 && parts <= 1e6 {
            for _ in 0..parts as usize {
                let start = trace.z[trace.z.len() - nz..].to_vec();
                jump(m, mode, &start, left / parts, &mut z);
                trace.steps.push(super::machine::Step { mode, level: None, t: from, h: left / parts });
                trace.z.extend_from_slice(&z);
                from += left / parts;
            }
        }
    }
}
