//! `cargo xtask serve`: set up, build, serve on this machine only, and rebuild on change.

mod answer;
mod http;
mod watch;

use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::path::PathBuf;
use std::time::Duration;

use anyhow::{Context, Result, ensure};

use crate::{dist, paths, route};

/// How many ports above the wanted one are tried when it is taken.
const TRIES: u16 = 20;

/// How often the sources are looked at.
const LOOK: Duration = Duration::from_millis(500);

/// Serves the page and, unless it is `built` already, builds it first and again after every change.
///
/// # Errors
/// The set-up or the first build fails, or no port is free. A later build that fails is told and the page before it
/// stays.
pub(crate) fn serve(port: u16, built: bool) -> Result<()> {
    let route = if built { None } else { Some(route::ready()?) };
    match &route {
        Some(route) => dist::build(route)?,
        None => ensure!(paths::dist().join("index.html").is_file(), "build the page first: `cargo xtask build`"),
    }
    let listener = listen(port)?;
    let address = listener.local_addr()?;
    println!("Counterpoise is at http://{address}/ (Ctrl-C ends it)");
    std::thread::spawn(move || http::serve(&listener, paths::dist()));
    let mut seen = watch::snapshot(&paths::root());
    loop {
        std::thread::sleep(LOOK);
        let Some(route) = &route else { continue };
        let now = watch::snapshot(&paths::root());
        if now != seen {
            seen = now;
            println!("something changed: building again");
            match dist::build(route) {
                Ok(()) => println!("reload the page at http://{address}/"),
                Err(fault) => eprintln!("error: {fault:#}\nthe page before the change is still served"),
            }
        }
    }
}

/// Serves `dir` on a free port for as long as this program runs.
///
/// # Errors
/// No port is free.
pub(crate) fn in_background(dir: PathBuf) -> Result<SocketAddr> {
    let listener = listen(0)?;
    let address = listener.local_addr()?;
    std::thread::spawn(move || http::serve(&listener, dir));
    Ok(address)
}

/// The wanted port, or the next free one; says so if it is another. Port 0 lets the system choose.
fn listen(port: u16) -> Result<TcpListener> {
    let at = |port| TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port)));
    if let Ok(listener) = at(port) {
        return Ok(listener);
    }
    let next = (1..=TRIES).filter_map(|step| port.checked_add(step)).find_map(|port| at(port).ok());
    let listener =
        next.with_context(|| format!("port {port} and the {TRIES} after it are taken: choose one with --port"))?;
    println!("port {port} is taken; using {}", listener.local_addr()?.port());
    Ok(listener)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_port_that_is_taken_gives_the_next() {
        let taken = listen(0).expect("some port is free");
        let port = taken.local_addr().expect("it is bound").port();
        let next = listen(port).expect("one of the next ports is free");
        assert_ne!(next.local_addr().expect("it is bound").port(), port);
    }
}
