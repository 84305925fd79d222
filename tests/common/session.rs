//! A program in a pseudo-terminal: keys in, what the screen shows out.

use std::io::{Read, Write};
use std::num::NonZero;
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

/// Longest wait for what is expected.
pub const LIMIT: Duration = Duration::from_secs(20);

/// A count of cells.
pub fn cells(n: u16) -> NonZero<u16> {
    NonZero::new(n).unwrap()
}

/// A program in a terminal of its own.
pub struct Session {
    pub child: Box<dyn Child + Send + Sync>,
    pub master: Box<dyn MasterPty + Send>,
    pub keys: Box<dyn Write + Send>,
    pub news: Receiver<()>,
    pub screen: Arc<Mutex<(vt100::Parser, Vec<u8>)>>,
}

impl Session {
    /// Starts it at 80 by 24.
    pub fn start(command: CommandBuilder) -> Self {
        Self::start_as(command, |_| ())
    }

    /// The same with something set otherwise.
    pub fn start_as(mut command: CommandBuilder, set: impl Fn(&mut CommandBuilder)) -> Self {
        let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).unwrap();
        command.env("TERM", "xterm-256color");
        set(&mut command);
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let mut reader = pair.master.try_clone_reader().unwrap();
        let keys = pair.master.take_writer().unwrap();
        let screen = Arc::new(Mutex::new((vt100::Parser::new(cells(24), cells(80), 0), Vec::new())));
        let (tell, news) = channel();
        let shared = Arc::clone(&screen);
        std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(n) = reader.read(&mut bytes) {
                if n == 0 {
                    break;
                }
                let mut screen = shared.lock().unwrap();
                screen.0.process(&bytes[..n]);
                screen.1.extend_from_slice(&bytes[..n]);
                drop(screen);
                let _ = tell.send(());
            }
        });
        Self { child, master: pair.master, keys, news, screen }
    }

    pub fn text(&self) -> String {
        self.screen.lock().unwrap().0.screen().contents()
    }

    pub fn until(&self, what: &str) {
        self.until_it(what, true);
    }

    pub fn until_gone(&self, what: &str) {
        self.until_it(what, false);
    }

    fn until_it(&self, what: &str, there: bool) {
        let end = Instant::now() + LIMIT;
        while self.text().contains(what) != there {
            let left = end.checked_duration_since(Instant::now());
            let Some(left) = left else { panic!("{what:?} there: not {there} in\n{}", self.text()) };
            let _ = self.news.recv_timeout(left.min(Duration::from_millis(200)));
        }
    }

    pub fn press(&mut self, keys: &str) {
        self.keys.write_all(keys.as_bytes()).unwrap();
        self.keys.flush().unwrap();
    }

    pub fn sent(&self, bytes: &str) -> bool {
        let screen = self.screen.lock().unwrap();
        screen.1.windows(bytes.len()).any(|w| w == bytes.as_bytes())
    }

    /// Everything that was taken has been given back.
    pub fn given_back(&self) {
        let screen = self.screen.lock().unwrap();
        let s = screen.0.screen();
        assert!(!s.alternate_screen() && !s.hide_cursor() && !s.bracketed_paste());
        assert_eq!(s.mouse_protocol_mode(), vt100::MouseProtocolMode::None);
    }
}
