//! A browser without a window, told what to do through its DevTools protocol. One is started for all pages.

use serde_json::{Value, json};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use tungstenite::{Message, WebSocket};

/// A running browser with one page in it.
pub struct Chromium {
    child: Child,
    socket: WebSocket<TcpStream>,
    session: String,
    last: u64,
    /// What the page complained of: errors, warnings, exceptions.
    pub complaints: Vec<String>,
    _folder: tempfile::TempDir,
}

/// The browser of this machine; `None` where there is none, unless the wall says that there has to be.
fn program() -> Option<PathBuf> {
    let places = std::env::var_os("PATH")?;
    let names = ["chromium", "chromium-browser", "google-chrome"];
    let found = std::env::split_paths(&places).flat_map(|p| names.map(|n| p.join(n))).find(|p| p.is_file());
    assert!(found.is_some() || std::env::var_os("CI_HAS_CHROMIUM").is_none(), "chromium is to be here");
    found
}

impl Chromium {
    /// Starts one; `None` where there is no browser, which is said.
    pub fn start() -> Option<Chromium> {
        let Some(program) = program() else {
            eprintln!("no chromium here: pages are not looked at in a browser");
            return None;
        };
        let folder = tempfile::tempdir().unwrap();
        let profile = format!("--user-data-dir={}", folder.path().display());
        let mut child = Command::new(program)
            .args(["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--hide-scrollbars"])
            .args(["--remote-debugging-port=0", "--no-first-run", "--disable-extensions", &profile, "about:blank"])
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let told = folder.path().join("DevToolsActivePort");
        let begun = Instant::now();
        let port = loop {
            let text = std::fs::read_to_string(&told).unwrap_or_default();
            if let Some((port, path)) = text.split_once('\n').filter(|(_, path)| path.len() > 1) {
                break (port.to_string(), path.trim().to_string());
            }
            if begun.elapsed() > Duration::from_secs(60) {
                let _ = child.kill();
                panic!("the browser did not say its port");
            }
            std::thread::sleep(Duration::from_millis(50));
        };
        let stream = TcpStream::connect(format!("127.0.0.1:{}", port.0)).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
        let address = format!("ws://127.0.0.1:{}{}", port.0, port.1);
        let (socket, _) = tungstenite::client(address, stream).unwrap();
        let session = String::new();
        let mut browser = Chromium { child, socket, session, last: 0, complaints: vec![], _folder: folder };
        let target = browser.call("Target.createTarget", json!({ "url": "about:blank" }));
        let attached =
            browser.call("Target.attachToTarget", json!({ "targetId": target["targetId"], "flatten": true }));
        browser.session = attached["sessionId"].as_str().unwrap().to_string();
        for domain in ["Page", "Runtime", "Log", "Network"] {
            browser.call(&format!("{domain}.enable"), json!({}));
        }
        Some(browser)
    }

    /// Calls a method and waits for its answer.
    pub fn call(&mut self, method: &str, parameters: Value) -> Value {
        self.last += 1;
        let mut message = json!({ "id": self.last, "method": method, "params": parameters });
        if !self.session.is_empty() {
            message["sessionId"] = json!(self.session);
        }
        self.socket.send(Message::text(message.to_string())).unwrap();
        loop {
            let answer = self.next();
            if answer["id"] == json!(self.last) {
                assert!(answer["error"].is_null(), "{method}: {answer}");
                return answer["result"].clone();
            }
        }
    }

    /// The next message; what the page complains of is kept.
    fn next(&mut self) -> Value {
        loop {
            let Message::Text(text) = self.socket.read().unwrap() else { continue };
            let message: Value = serde_json::from_str(&text).unwrap();
            let said = &message["params"];
            match message["method"].as_str() {
                Some("Runtime.exceptionThrown") => self.complaints.push(said["exceptionDetails"].to_string()),
                Some("Log.entryAdded") => self.complaints.push(said["entry"].to_string()),
                Some("Runtime.consoleAPICalled") => self.complaints.push(said["args"].to_string()),
                // A page that asks for more than itself.
                Some("Network.requestWillBeSent") => {
                    let url = said["request"]["url"].as_str().unwrap_or_default();
                    if !url.starts_with("file:") || said["type"] != json!("Document") {
                        self.complaints.push(format!("asks for {url}"));
                    }
                }
                _ => {}
            }
            return message;
        }
    }

    /// Opens a file in a window so broad, and waits until it is there.
    pub fn open(&mut self, file: &std::path::Path, broad: u32) {
        self.broad(broad);
        self.call("Page.navigate", json!({ "url": format!("file://{}", file.display()) }));
        let begun = Instant::now();
        while self.run("document.readyState === 'complete' && location.protocol === 'file:'") != json!(true) {
            assert!(begun.elapsed() < Duration::from_secs(60), "{} does not open", file.display());
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Makes the window so broad.
    pub fn broad(&mut self, broad: u32) {
        let size = json!({ "width": broad, "height": 900, "deviceScaleFactor": 1, "mobile": false });
        self.call("Emulation.setDeviceMetricsOverride", size);
    }

    /// Shows the page as on paper or on a screen, light or dark.
    pub fn media(&mut self, media: &str, scheme: &str) {
        let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
        self.call("Emulation.setEmulatedMedia", json!({ "media": media, "features": features }));
    }

    /// What a script of the page comes to, a promise waited for.
    pub fn run(&mut self, script: &str) -> Value {
        let asked = json!({ "expression": script, "returnByValue": true, "awaitPromise": true });
        let answer = self.call("Runtime.evaluate", asked);
        assert!(answer["exceptionDetails"].is_null(), "{answer}");
        answer["result"]["value"].clone()
    }

    /// How many pages of this size, in inches, it prints to.
    pub fn pages(&mut self, [wide, high]: [f64; 2]) -> usize {
        let paper = json!({ "paperWidth": wide, "paperHeight": high, "preferCSSPageSize": false,
            "marginTop": 0.55, "marginBottom": 0.55, "marginLeft": 0.55, "marginRight": 0.55 });
        let pdf = self.call("Page.printToPDF", paper);
        let bytes = base64(pdf["data"].as_str().unwrap());
        let text = String::from_utf8_lossy(&bytes);
        text.matches("/Type /Page\n").count()
    }
}

impl Drop for Chromium {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn base64(text: &str) -> Vec<u8> {
    const LETTERS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let (mut bits, mut held, mut out) = (0u32, 0u32, vec![]);
    for value in text.bytes().filter_map(|b| LETTERS.iter().position(|l| *l == b)) {
        held = (held << 6) | value as u32;
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            out.push((held >> bits) as u8);
        }
    }
    out
}
