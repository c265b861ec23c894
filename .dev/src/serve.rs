//! Serves the finished page to this machine only.

use std::net::{Ipv4Addr, SocketAddr};
use std::path::Path;

use tiny_http::Server;

use crate::{http, shell};

/// Where a port is looked for when none is asked for.
const PORTS: std::ops::RangeInclusive<u16> = 8080..=8099;

/// How many requests are answered at once: a browser asks for some files side by side.
const THREADS: usize = 4;

/// Serves `folder` until the program is ended, and prints its address.
///
/// # Errors
/// When the port is taken, or all that are tried.
pub fn run(folder: &Path, port: Option<u16>) -> Result<(), String> {
    let server = listen(port)?;
    println!("http://{}/", address(&server));
    shell::say("serving the page at this address; Ctrl+C ends it");
    std::thread::scope(|scope| {
        for _ in 0..THREADS {
            scope.spawn(|| server.incoming_requests().for_each(|r| answer(folder, r)));
        }
    });
    Ok(())
}

fn answer(folder: &Path, request: tiny_http::Request) {
    let answer = http::answer(folder, request.method(), request.url());
    // A client that goes away in the middle is its own affair.
    let _ = request.respond(answer);
}

fn address(server: &Server) -> SocketAddr {
    server
        .server_addr()
        .to_ip()
        .expect("it listens on an address of this machine")
}

fn listen(port: Option<u16>) -> Result<Server, String> {
    let at = |port| Server::http((Ipv4Addr::LOCALHOST, port));
    match port {
        Some(port) => at(port).map_err(|error| {
            format!("port {port} cannot be had ({error}): name another with --port")
        }),
        None => PORTS
            .into_iter()
            .find_map(|port| at(port).ok())
            .ok_or_else(|| {
                format!(
                    "no port from {} to {} is free: name another with --port",
                    PORTS.start(),
                    PORTS.end()
                )
            }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files;
    use std::io::{Read, Write};
    use std::net::TcpStream;

    /// What comes back for the first lines of a request, as bytes on the wire.
    fn asked(folder: &Path, head: &str) -> String {
        let server = listen(Some(0)).expect("a free port");
        let address = address(&server);
        assert!(address.ip().is_loopback());
        let mut client = TcpStream::connect(address).expect("listening");
        let request = format!("{head}\r\nHost: here\r\nConnection: close\r\n\r\n");
        client.write_all(request.as_bytes()).expect("connected");
        answer(folder, server.recv().expect("a request"));
        let mut text = String::new();
        client.read_to_string(&mut text).expect("an answer");
        text
    }

    #[test]
    fn a_request_over_the_wire_is_answered() {
        let folder = files::scratch("serve");
        // Longer than what the library would send in chunks by itself.
        let page = "hello".repeat(20_000);
        files::write(&folder.join("index.html"), page.as_bytes()).expect("writable");
        let whole = asked(&folder, "GET / HTTP/1.1");
        assert!(whole.starts_with("HTTP/1.1 200 OK\r\n"));
        assert!(whole.contains("Content-Length: 100000\r\n"));
        assert!(whole.ends_with(&format!("\r\n\r\n{page}")));
        let head = asked(&folder, "HEAD / HTTP/1.1");
        assert!(head.contains("Content-Length: 100000\r\n"), "{head}");
        assert!(head.ends_with("\r\n\r\n"), "{head}");
        let out = asked(&folder, "GET /../serve/index.html HTTP/1.1");
        assert!(out.starts_with("HTTP/1.1 400 "), "{out}");
        std::fs::remove_dir_all(folder).expect("ours");
    }
}
