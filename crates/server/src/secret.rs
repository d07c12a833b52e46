//! Tokens, codes and passwords: made, hashed, compared.

use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher as _, PasswordVerifier as _};
use argon2::{Algorithm, Argon2, Params, Version};
use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use sha2::{Digest as _, Sha256};
use subtle::ConstantTimeEq as _;
use uuid::Uuid;

/// No randomness is to be had from the operating system.
#[derive(Clone, Copy, Debug, thiserror::Error)]
#[error("the operating system gives no random numbers")]
pub struct NoRandomness;

/// Letters and digits that are not taken for each other, read aloud or typed with gloves.
const LETTERS: &[u8; 32] = b"ABCDEFGHJKLMNPQRSTUVWXYZ23456789";
/// How many of them a pairing code has: 50 bits, for a quarter of an hour, with few tries a minute.
const CODE_LETTERS: usize = 10;

/// The memory of argon2id in KiB, its passes and lanes: the smallest set that OWASP's cheat sheet on storing passwords
/// names (19 MiB, 2, 1).
const MEMORY_KIB: u32 = 19 * 1024;
const PASSES: u32 = 2;
const LANES: u32 = 1;

fn random<const N: usize>() -> Result<[u8; N], NoRandomness> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|_| NoRandomness)?;
    Ok(bytes)
}

/// Returns the SHA-256 of a secret, as the store keeps it.
#[must_use]
pub fn hash(secret: &str) -> [u8; 32] {
    Sha256::digest(secret.as_bytes()).into()
}

/// Returns whether two hashes are the same, in a time that does not tell where they differ.
#[must_use]
pub fn same(one: &[u8; 32], other: &[u8; 32]) -> bool {
    one.ct_eq(other).into()
}

/// Returns a new token: 32 random bytes.
///
/// # Errors
/// [`NoRandomness`].
pub fn token() -> Result<String, NoRandomness> {
    Ok(URL_SAFE_NO_PAD.encode(random::<32>()?))
}

/// Returns a new id of the time `now`.
///
/// # Errors
/// [`NoRandomness`].
pub fn id(now: i64) -> Result<Uuid, NoRandomness> {
    Ok(record::device_id(now, random()?))
}

/// Returns a new pairing code, in two groups.
///
/// # Errors
/// [`NoRandomness`].
pub fn code() -> Result<String, NoRandomness> {
    let bytes = random::<CODE_LETTERS>()?;
    let mut code: String = bytes.iter().map(|byte| char::from(LETTERS[usize::from(byte % 32)])).collect();
    code.insert(CODE_LETTERS / 2, '-');
    Ok(code)
}

/// Returns the hash of a pairing code as typed: small letters, blanks and hyphens make no difference.
#[must_use]
pub fn code_hash(typed: &str) -> [u8; 32] {
    let plain: String =
        typed.chars().filter(char::is_ascii_alphanumeric).map(|c| c.to_ascii_uppercase()).collect();
    hash(&plain)
}

/// Returns a password that a person can copy: four groups of five.
///
/// # Errors
/// [`NoRandomness`].
pub fn password() -> Result<String, NoRandomness> {
    let bytes = random::<20>()?;
    let letters: Vec<char> =
        bytes.iter().map(|byte| char::from(LETTERS[usize::from(byte % 32)]).to_ascii_lowercase()).collect();
    Ok(letters.chunks(5).map(|group| group.iter().collect::<String>()).collect::<Vec<_>>().join("-"))
}

fn argon2() -> Argon2<'static> {
    let params = Params::new(MEMORY_KIB, PASSES, LANES, None).unwrap_or_default();
    Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
}

/// Returns the argon2id hash of a password, with its parameters and a random salt. Slow on purpose.
///
/// # Errors
/// [`NoRandomness`].
pub fn hash_password(password: &str) -> Result<String, NoRandomness> {
    let salt = random::<16>()?;
    let hash: PasswordHash =
        argon2().hash_password_with_salt(password.as_bytes(), &salt).map_err(|_| NoRandomness)?;
    Ok(hash.to_string())
}

/// Returns whether a password is the one that was hashed. Where there is no hash as much work is done, so that the time
/// does not tell who has one.
#[must_use]
pub fn is_password(password: &str, hashed: Option<&str>) -> bool {
    match hashed.and_then(|hashed| PasswordHash::new(hashed).ok()) {
        Some(hash) => argon2().verify_password(password.as_bytes(), &hash).is_ok(),
        None => {
            let mut out = [0; 32];
            // Only the work counts; what comes out is thrown away.
            let _ = argon2().hash_password_into(password.as_bytes(), b"nobody has this.", &mut out);
            false
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn passwords_are_argon2id_with_the_parameters_stated() {
        let hashed = hash_password("a long enough one").unwrap();
        assert!(hashed.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"), "{hashed}");
        assert!(is_password("a long enough one", Some(&hashed)));
        assert!(!is_password("another", Some(&hashed)));
        assert!(!is_password("a long enough one", None));
        assert!(!is_password("", Some("not a hash")));
        assert_ne!(hashed, hash_password("a long enough one").unwrap());
    }

    #[test]
    fn a_code_reads_as_people_type_it() {
        let code = code().unwrap();
        assert_eq!(code.len(), 11);
        let typed = format!(" {} ", code.to_lowercase().replace('-', " "));
        assert_eq!(code_hash(&code), code_hash(&typed));
        assert_ne!(code_hash(&code), code_hash(&code[1..]));
    }

    #[test]
    fn tokens_have_256_bits_and_differ() {
        let (one, other) = (token().unwrap(), token().unwrap());
        assert_eq!(URL_SAFE_NO_PAD.decode(&one).unwrap().len(), 32);
        assert_ne!(one, other);
        assert!(same(&hash(&one), &hash(&one)) && !same(&hash(&one), &hash(&other)));
    }
}
