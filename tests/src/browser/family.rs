//! A process and all that it has started, as Linux lists them.

use std::process::Command;

/// The processes that `root` has started, and those that they have, without `root` itself.
pub(super) fn descendants(root: u32) -> Vec<u32> {
    let parents: Vec<(u32, u32)> = std::fs::read_dir("/proc")
        .expect("Linux lists its processes in /proc")
        .filter_map(|entry| {
            let id: u32 = entry.ok()?.file_name().to_str()?.parse().ok()?;
            // After the name, which may hold anything, stand the state and the parent: proc(5).
            let stat = std::fs::read_to_string(format!("/proc/{id}/stat")).ok()?;
            let parent = stat.rsplit_once(')')?.1.split_whitespace().nth(1)?.parse().ok()?;
            Some((id, parent))
        })
        .collect();
    let mut family = vec![root];
    let mut next = 0;
    while let Some(parent) = family.get(next).copied() {
        family.extend(parents.iter().filter(|(_, of)| *of == parent).map(|(id, _)| *id));
        next += 1;
    }
    family.split_off(1)
}

/// Ends processes at once, each by its own number.
pub(super) fn kill(processes: &[u32]) {
    let ids = processes.iter().map(u32::to_string);
    // One that has ended in the meantime is no fault.
    drop(Command::new("kill").arg("-KILL").args(ids).output().expect("kill(1)"));
}
