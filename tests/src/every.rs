//! The same for many seeds, on every core.

/// Does this for every seed and gives what comes of it in the order of the seeds. A panic is passed on.
pub fn every<T: Send>(seeds: std::ops::Range<u64>, one: impl Fn(u64) -> T + Sync) -> Vec<T> {
    let threads = std::thread::available_parallelism().map_or(2, |n| n.get() as u64);
    let mut found: Vec<(u64, T)> = Vec::new();
    std::thread::scope(|scope| {
        let one = &one;
        let workers: Vec<_> = (0..threads)
            .map(|t| {
                let own = (seeds.start + t..seeds.end).step_by(threads as usize);
                scope.spawn(move || own.map(|seed| (seed, one(seed))).collect::<Vec<_>>())
            })
            .collect();
        for worker in workers {
            match worker.join() {
                Ok(own) => found.extend(own),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
    });
    found.sort_by_key(|(seed, _)| *seed);
    found.into_iter().map(|(_, one)| one).collect()
}
