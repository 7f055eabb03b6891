//! What the program writes is read by whom the umask lets read it.
#![allow(missing_docs, clippy::unwrap_used)]

#[cfg(unix)]
#[test]
fn the_umask_is_respected() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = tempfile::tempdir().unwrap();
    let run = |script: &str| {
        let out = super::program::shell(folder.path(), script).output().unwrap();
        assert!(out.status.success(), "{script}: {}", super::program::said(&out));
    };
    for (umask, file, made_folder) in [("077", 0o600, 0o700), ("027", 0o640, 0o750), ("022", 0o644, 0o755)] {
        run(&format!("umask {umask} && deadfront man m{umask} && deadfront plugin new p{umask}"));
        let mode = |name: String| std::fs::metadata(folder.path().join(&name)).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode(format!("m{umask}/deadfront.1")), file, "{umask}");
        assert_eq!(mode(format!("p{umask}/plugin.toml")), file, "{umask}");
        assert_eq!(mode(format!("p{umask}")), made_folder, "{umask}");
    }
}
