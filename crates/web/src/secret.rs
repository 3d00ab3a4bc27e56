//! Passwords, PINs and tokens: made from the chance of the system, kept only as hashes.

use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use sha2::{Digest, Sha256};
use std::fmt;

/// Fewest letters of a password.
pub(crate) const LEAST_PASSWORD: usize = 10;
/// Digits of a PIN. It opens only on a tablet that the shop has enrolled.
pub(crate) const PIN_DIGITS: usize = 4;

/// A token that a browser carries; shown to nobody, kept nowhere.
pub(crate) struct Token(String);

impl Token {
    /// A new one; nothing where the system has no chance to give.
    pub(crate) fn new() -> Option<Self> {
        let mut bytes = [0_u8; 32];
        getrandom::fill(&mut bytes).ok()?;
        Some(Self(hex(&bytes)))
    }

    /// The text that goes to the browser.
    pub(crate) fn as_str(&self) -> &str {
        &self.0
    }

    /// What the store keeps.
    pub(crate) fn hash(&self) -> String {
        token_hash(&self.0)
    }
}

impl fmt::Debug for Token {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Token")
    }
}

/// The hash under which a token is kept. The token is 256 bits of chance, so a quick hash is enough.
pub(crate) fn token_hash(token: &str) -> String {
    format!("{:x}", Sha256::digest(token.as_bytes()))
}

/// The hash of a password or PIN, slow on purpose (argon2id); nothing where the system has no chance to give.
pub(crate) fn slow_hash(secret: &str) -> Option<String> {
    Some(Argon2::default().hash_password(secret.as_bytes()).ok()?.to_string())
}

/// Whether a secret is the one of a hash. Without a hash the same work is done, so that the time tells nothing.
pub(crate) fn is_secret(secret: &str, hash: Option<&str>) -> bool {
    // A hash of something that nobody knows.
    const NOBODY: &str =
        "$argon2id$v=19$m=19456,t=2,p=1$Y29nd3JpZ2h0bm9ib2R5$HY4cG0pYlgZ3OQ8bnd0cLT6XQeIHoLXx5nrhhjOC7XM";
    let Ok(parsed) = PasswordHash::new(hash.unwrap_or(NOBODY)) else { return false };
    Argon2::default().verify_password(secret.as_bytes(), &parsed).is_ok() && hash.is_some()
}

pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_secret_opens_its_own_hash_only() {
        let hash = slow_hash("a long password").unwrap();
        assert!(hash.starts_with("$argon2id$"), "{hash}");
        assert!(is_secret("a long password", Some(&hash)));
        assert!(!is_secret("another one", Some(&hash)));
        assert!(!is_secret("a long password", None));
        assert!(!is_secret("a long password", Some("no hash")));
    }

    #[test]
    fn two_tokens_differ_and_say_nothing_of_themselves() {
        let (one, other) = (Token::new().unwrap(), Token::new().unwrap());
        assert_ne!(one.as_str(), other.as_str());
        assert_eq!(one.as_str().len(), 64);
        assert_eq!(format!("{one:?}"), "Token");
    }
}
