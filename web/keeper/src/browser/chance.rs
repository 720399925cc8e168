//! The clock and chance.

use wasm_bindgen::prelude::*;

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(thread_local_v2, js_name = crypto)]
    static CRYPTO: Crypto;
    type Crypto;
    #[wasm_bindgen(method, js_name = getRandomValues, catch)]
    fn get_random_values(this: &Crypto, bytes: &mut [u8]) -> Result<(), JsValue>;
}

/// Milliseconds since 1970 by the device's clock.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a clock's milliseconds are whole, positive and far below 2^53"
)]
pub(crate) fn now_millis() -> u64 {
    js_sys::Date::now().max(0.0) as u64
}

/// Minutes east of UTC by the device's settings, now.
#[expect(
    clippy::cast_possible_truncation,
    reason = "an offset is a small whole number of minutes"
)]
pub(crate) fn offset_minutes() -> i32 {
    -(js_sys::Date::new_0().get_timezone_offset() as i32)
}

/// Random bytes from the browser's own source.
pub(crate) fn random<const N: usize>() -> [u8; N] {
    let mut bytes = [0; N];
    // A worker of every browser that runs wasm has this source; without it two devices might draw
    // the same id, so the keeper had better stop.
    let drawn = CRYPTO.with(|crypto| crypto.get_random_values(&mut bytes));
    assert!(drawn.is_ok(), "the browser's random source answers");
    bytes
}
