//! How the web view draws on Linux.

/// Has WebKitGTK draw without DMABUF, with which windows stay blank on some graphics cards (tauri-apps/tauri#9304),
/// unless the environment says otherwise. It is read when the web view starts, and setting it in a program that runs
/// is unsafe, so the program starts itself once more.
#[cfg(target_os = "linux")]
pub(crate) fn choose() {
    use std::os::unix::process::CommandExt;
    const SETTING: &str = "WEBKIT_DISABLE_DMABUF_RENDERER";
    if std::env::var_os(SETTING).is_some() {
        return;
    }
    let Ok(program) = std::env::current_exe() else {
        return;
    };
    // It only comes back where it could not be done; the window is opened all the same.
    let _ = std::process::Command::new(program)
        .args(std::env::args_os().skip(1))
        .env(SETTING, "1")
        .exec();
}

#[cfg(not(target_os = "linux"))]
pub(crate) fn choose() {}
