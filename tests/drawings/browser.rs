//! A headless Chromium that is spoken to through its remote debugging pipe: JSON messages,
//! each ended by a zero byte, into its file 3 and out of its file 4.

use serde_json::{Value, json};
use std::fs::{File, OpenOptions};
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

const PATIENCE: Duration = Duration::from_secs(60);

/// How every browser is started: without a window, talking to nobody, at home in a folder
/// of its own.
pub fn flags(folder: &Path) -> [String; 8] {
    [
        "--headless".to_owned(),
        "--no-sandbox".to_owned(),
        "--disable-gpu".to_owned(),
        "--no-first-run".to_owned(),
        "--disable-background-networking".to_owned(),
        "--disable-component-update".to_owned(),
        "--disable-sync".to_owned(),
        format!("--user-data-dir={}", folder.join("home").display()),
    ]
}

/// A browser with one page.
pub struct Browser {
    child: Child,
    to: File,
    from: Receiver<Value>,
    session: String,
    count: u64,
    /// What the page did unasked: console messages, requests, exceptions.
    pub events: Vec<Value>,
}

impl Browser {
    /// Starts it in a folder of its own, where its pipes are made.
    pub fn start(folder: &Path) -> Self {
        let pipe = |name: &str| {
            let path = folder.join(name);
            let made = Command::new("mkfifo").arg(&path).status().unwrap();
            assert!(made.success());
            path
        };
        let (to, from) = (pipe("to"), pipe("from"));
        // The shell opens the files that a Rust command cannot hand on by number.
        let child = Command::new("sh")
            .args(["-c", "exec chromium \"$@\" 3<\"$TO\" 4>\"$FROM\"", "sh"])
            .args(flags(folder))
            .args(["--hide-scrollbars", "--remote-debugging-pipe"])
            .env("TO", &to)
            .env("FROM", &from)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let to = OpenOptions::new().write(true).open(to).unwrap();
        let mut reader = BufReader::new(File::open(from).unwrap());
        let (tell, told) = channel();
        std::thread::spawn(move || {
            let mut message = Vec::new();
            while reader.read_until(0, &mut message).is_ok_and(|n| n > 0) {
                message.pop();
                let Ok(value) = serde_json::from_slice(&message) else {
                    break;
                };
                if tell.send(value).is_err() {
                    break;
                }
                message.clear();
            }
        });
        let mut browser = Self {
            child,
            to,
            from: told,
            session: String::new(),
            count: 0,
            events: Vec::new(),
        };
        let target = browser.ask("Target.createTarget", json!({"url": "about:blank"}));
        let id = &target["targetId"];
        let attached = browser.ask(
            "Target.attachToTarget",
            json!({"targetId": id, "flatten": true}),
        );
        browser.session = attached["sessionId"].as_str().unwrap().to_owned();
        for part in ["Page", "Runtime", "Network", "Log"] {
            browser.ask(&format!("{part}.enable"), json!({}));
        }
        browser
    }

    /// Asks for something and waits for the answer.
    pub fn ask(&mut self, method: &str, params: Value) -> Value {
        self.count += 1;
        let mut message = json!({"id": self.count, "method": method, "params": params});
        if !self.session.is_empty() {
            message["sessionId"] = json!(self.session);
        }
        let mut bytes = serde_json::to_vec(&message).unwrap();
        bytes.push(0);
        self.to.write_all(&bytes).unwrap();
        loop {
            let said = self
                .from
                .recv_timeout(PATIENCE)
                .expect("the browser answers");
            if said["id"] == json!(self.count) {
                assert!(said["error"].is_null(), "{method}: {said}");
                return said["result"].clone();
            }
            self.events.push(said);
        }
    }

    /// Opens a file at that width, and waits until it is loaded.
    pub fn open(&mut self, page: &Path, width: u32) {
        let size = json!({"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": false});
        self.ask("Emulation.setDeviceMetricsOverride", size);
        self.ask(
            "Page.navigate",
            json!({"url": format!("file://{}", page.display())}),
        );
        let ready = "document.readyState === 'complete' && location.protocol === 'file:'";
        for _ in 0..600 {
            if self.value(ready) == json!(true) {
                return;
            }
            std::thread::sleep(Duration::from_millis(50));
        }
        panic!("{} did not load", page.display());
    }

    /// What an expression comes to in the page.
    pub fn value(&mut self, expression: &str) -> Value {
        let asked = json!({"expression": expression, "returnByValue": true});
        let answer = self.ask("Runtime.evaluate", asked);
        assert!(
            answer["exceptionDetails"].is_null(),
            "{expression}: {answer}"
        );
        answer["result"]["value"].clone()
    }

    /// Runs a script in every page that is opened from now on, before its own.
    pub fn before_pages(&mut self, script: &str) {
        let method = "Page.addScriptToEvaluateOnNewDocument";
        self.ask(method, json!({"source": script}));
    }

    /// Shows the page as it is printed, or as it is seen.
    pub fn media(&mut self, media: &str) {
        self.ask("Emulation.setEmulatedMedia", json!({"media": media}));
    }

    /// What an expression that promises a value comes to.
    pub fn awaited(&mut self, expression: &str) -> Value {
        let asked = json!({"expression": expression, "returnByValue": true, "awaitPromise": true});
        let answer = self.ask("Runtime.evaluate", asked);
        assert!(answer["exceptionDetails"].is_null(), "{answer}");
        answer["result"]["value"].clone()
    }

    /// Presses a key and lets it go, as a keyboard does.
    pub fn press(&mut self, key: &str) {
        let code = match key {
            "Tab" => 9,
            "Enter" => 13,
            " " => 32,
            "End" => 35,
            "Home" => 36,
            "ArrowLeft" => 37,
            "ArrowRight" => 39,
            other => panic!("no code for {other}"),
        };
        let name = if key == " " { "Space" } else { key };
        let mut down =
            json!({"type": "keyDown", "key": key, "code": name, "windowsVirtualKeyCode": code});
        match key {
            "Enter" => down["text"] = json!("\r"),
            " " => down["text"] = json!(" "),
            _ => down["type"] = json!("rawKeyDown"),
        }
        self.ask("Input.dispatchKeyEvent", down);
        let up = json!({"type": "keyUp", "key": key, "code": name, "windowsVirtualKeyCode": code});
        self.ask("Input.dispatchKeyEvent", up);
    }

    /// What the page has asked the network or the disk for, but for itself and what is
    /// written in it.
    pub fn requests(&self, page: &Path) -> Vec<String> {
        let own = format!("file://{}", page.display());
        let sent = self
            .events
            .iter()
            .filter(|e| e["method"] == "Network.requestWillBeSent");
        sent.filter_map(|e| e["params"]["request"]["url"].as_str())
            .filter(|url| !url.starts_with(&own) && !url.starts_with("data:"))
            .map(str::to_owned)
            .collect()
    }

    /// What the page or the browser complained of.
    pub fn complaints(&self) -> Vec<&Value> {
        let complaint = [
            "Runtime.exceptionThrown",
            "Runtime.consoleAPICalled",
            "Log.entryAdded",
        ];
        let said = |e: &&Value| complaint.iter().any(|c| e["method"] == *c);
        self.events.iter().filter(said).collect()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
