//! Serves the finished page to this machine only.
//!
//! One thread a connection, one answer a connection; a client that sends nothing for ten seconds is dropped.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use crate::{http, shell};

/// Where a port is looked for when none is asked for.
const PORTS: std::ops::RangeInclusive<u16> = 8080..=8099;
/// Longest head of a request that is read, in bytes.
const HEAD: u64 = 64 * 1024;
const PATIENCE: Duration = Duration::from_secs(10);

/// Serves `folder` until the program is ended, and prints its address.
///
/// # Errors
/// When the port is taken, or all that are tried.
pub fn run(folder: &Path, port: Option<u16>) -> Result<(), String> {
    let listener = listen(port)?;
    let address = listener.local_addr().map_err(|error| error.to_string())?;
    println!("http://{address}/");
    shell::say("serving the page at this address; Ctrl+C ends it");
    let folder: Arc<Path> = folder.into();
    for stream in listener.incoming().flatten() {
        let folder = Arc::clone(&folder);
        // A client that goes away in the middle is its own affair.
        std::thread::spawn(move || converse(&folder, stream).ok());
    }
    Ok(())
}

fn listen(port: Option<u16>) -> Result<TcpListener, String> {
    match port {
        Some(port) => TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(|error| {
            format!("port {port} cannot be had ({error}): name another with --port")
        }),
        None => PORTS
            .into_iter()
            .find_map(|port| TcpListener::bind((Ipv4Addr::LOCALHOST, port)).ok())
            .ok_or_else(|| {
                format!(
                    "no port from {} to {} is free: name another with --port",
                    PORTS.start(),
                    PORTS.end()
                )
            }),
    }
}

/// Reads one request's head and answers it.
fn converse(folder: &Path, stream: TcpStream) -> std::io::Result<()> {
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    let mut reader = BufReader::new((&stream).take(HEAD));
    let mut first = String::new();
    reader.read_line(&mut first)?;
    // The rest of the head is read too: closing on unread bytes would reset the connection before the answer is through.
    let mut line = String::new();
    while reader.read_line(&mut line)? > 2 {
        line.clear();
    }
    (&stream).write_all(&http::answer(folder, first.trim_end()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files;

    #[test]
    fn a_request_over_the_wire_is_answered() {
        let folder = files::scratch("serve");
        files::write(&folder.join("index.html"), b"hello").expect("writable");
        let listener = listen(Some(0)).expect("a free port");
        let address = listener.local_addr().expect("bound");
        let served = folder.clone();
        let server =
            std::thread::spawn(move || converse(&served, listener.accept().expect("a client").0));
        let mut client = TcpStream::connect(address).expect("listening");
        client
            .write_all(b"GET / HTTP/1.1\r\nHost: here\r\n\r\n")
            .expect("connected");
        let mut text = String::new();
        client.read_to_string(&mut text).expect("an answer");
        assert!(
            text.starts_with("HTTP/1.1 200 OK\r\n") && text.ends_with("hello"),
            "{text}"
        );
        server.join().expect("no panic").expect("no fault");
        std::fs::remove_dir_all(folder).expect("ours");
    }
}
