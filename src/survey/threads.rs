//! Shares work out between threads. What comes back depends on the work alone, not on who did it.

use std::sync::atomic::{AtomicUsize, Ordering};

/// Tasks that make another thread worth its start: it costs more than a few conditions take.
const TASKS_A_THREAD: usize = 8;

/// Threads for so many tasks; `wanted` 0 = as many as the machine has.
pub(crate) fn threads_for(wanted: usize, tasks: usize) -> usize {
    let there = || std::thread::available_parallelism().map_or(1, usize::from);
    let wanted = if wanted == 0 { there() } else { wanted };
    wanted.min(tasks / TASKS_A_THREAD + 1)
}

/// Shares tasks `0..tasks` out to threads, each with a result of its own to add to, and gives the results back.
pub(crate) fn shared_out<R: Send>(
    threads: usize,
    tasks: usize,
    empty: impl Fn() -> R + Sync,
    task: impl Fn(&mut R, usize) + Sync,
) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let work = || {
        let mut mine = empty();
        loop {
            let k = next.fetch_add(1, Ordering::Relaxed);
            if k >= tasks {
                return mine;
            }
            task(&mut mine, k);
        }
    };
    if threads <= 1 {
        return vec![work()];
    }
    std::thread::scope(|s| {
        let others: Vec<_> = (1..threads).map(|_| s.spawn(work)).collect();
        let mut all = vec![work()];
        for other in others {
            match other.join() {
                Ok(result) => all.push(result),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    })
}
