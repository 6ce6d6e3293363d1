//! Work that waits for the network goes on beside work that keeps the processors busy.

use std::thread::JoinHandle;

use anyhow::{Result, anyhow};

/// Something that is being prepared.
pub(crate) struct Background {
    thread: Option<JoinHandle<Result<()>>>,
    what: &'static str,
}

impl Background {
    /// Starts preparing.
    pub(crate) fn start(what: &'static str, work: impl FnOnce() -> Result<()> + Send + 'static) -> Self {
        Self { thread: Some(std::thread::spawn(work)), what }
    }

    /// Waits until it is ready. Later calls return at once: the first has told of any fault.
    ///
    /// # Errors
    /// What went wrong with the preparation.
    pub(crate) fn wait(&mut self) -> Result<()> {
        match self.thread.take() {
            None => Ok(()),
            Some(thread) => thread.join().map_err(|_panic| anyhow!("preparing {} broke off", self.what))?,
        }
    }
}

#[cfg(test)]
mod tests {
    use anyhow::bail;

    use super::*;

    #[test]
    fn the_fault_comes_to_the_one_who_waits() {
        assert!(Background::start("nothing", || Ok(())).wait().is_ok());
        let mut failing = Background::start("trouble", || bail!("no network"));
        assert_eq!(failing.wait().unwrap_err().to_string(), "no network");
        assert!(failing.wait().is_ok());
    }
}
