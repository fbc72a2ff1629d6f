//! What a page's script calls. Texts go byte by byte, so that nobody touches the other's memory.
#![allow(unsafe_code, reason = "a function of the compiled module has its name by an attribute that counts as unsafe")]

use std::cell::RefCell;

use super::Engine;

thread_local! {
    static DESK: RefCell<Desk> = const { RefCell::new(Desk { given: Vec::new(), told: Vec::new(), engine: None }) };
}

struct Desk {
    given: Vec<u8>,
    told: Vec<u8>,
    engine: Option<Engine>,
}

impl Desk {
    fn taken(&mut self) -> String {
        String::from_utf8_lossy(&std::mem::take(&mut self.given)).into_owned()
    }

    fn tell(&mut self, text: String) -> u32 {
        self.told = text.into_bytes();
        self.told.len() as u32
    }
}

/// One more byte of a text.
#[unsafe(no_mangle)]
pub extern "C" fn give(byte: u32) {
    DESK.with_borrow_mut(|desk| desk.given.push(byte as u8));
}

/// The clock that the text given opens; length of what is wrong with it, 0 where nothing is.
#[unsafe(no_mangle)]
pub extern "C" fn open() -> u32 {
    DESK.with_borrow_mut(|desk| {
        let text = desk.taken();
        match Engine::of_json(&text) {
            Ok(engine) => {
                desk.engine = Some(engine);
                0
            }
            Err(error) => desk.tell(error),
        }
    })
}

/// The question in the text given; length of the answer.
#[unsafe(no_mangle)]
pub extern "C" fn ask() -> u32 {
    DESK.with_borrow_mut(|desk| {
        let question = desk.taken();
        let answer = desk.engine.as_ref().map(|engine| engine.answer_in_json(&question));
        desk.tell(answer.unwrap_or_default())
    })
}

/// A byte of what is told, counted from 0.
#[unsafe(no_mangle)]
pub extern "C" fn told(place: u32) -> u32 {
    DESK.with_borrow(|desk| desk.told.get(place as usize).copied().map_or(0, u32::from))
}
