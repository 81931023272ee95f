//! Opens Trammel's window.
#![cfg_attr(not(debug_assertions), windows_subsystem = "windows")]

fn main() {
    trammel_app::run();
}
