//! HMAC with SHA-256 (RFC 7518, 3.2) as the only algorithm of the token library.
//!
//! Without the others there is nothing to confuse them with, and no RSA in the tree.
use std::sync::OnceLock;

use hmac::{Hmac, KeyInit, Mac};
use jsonwebtoken::crypto::{CryptoProvider, JwtSigner, JwtVerifier, KeyUtils};
use jsonwebtoken::errors::{ErrorKind, Result};
use jsonwebtoken::{Algorithm, AlgorithmFamily};
use signature::{Signer, Verifier};

struct Hs256(Hmac<sha2::Sha256>);

impl Hs256 {
    fn new(algorithm: Algorithm, family: AlgorithmFamily, key: &[u8]) -> Result<Self> {
        if algorithm != Algorithm::HS256 || family != AlgorithmFamily::Hmac {
            return Err(ErrorKind::InvalidAlgorithm.into());
        }
        let mac = Hmac::new_from_slice(key);
        mac.map(Self)
            .map_err(|error| ErrorKind::Provider(error.to_string()).into())
    }
}

impl Signer<Vec<u8>> for Hs256 {
    fn try_sign(&self, message: &[u8]) -> std::result::Result<Vec<u8>, signature::Error> {
        Ok(self
            .0
            .clone()
            .chain_update(message)
            .finalize()
            .into_bytes()
            .to_vec())
    }
}

impl Verifier<Vec<u8>> for Hs256 {
    fn verify(&self, message: &[u8], signed: &Vec<u8>) -> std::result::Result<(), signature::Error> {
        // compares in constant time
        let verdict = self.0.clone().chain_update(message).verify_slice(signed);
        verdict.map_err(signature::Error::from_source)
    }
}

impl JwtSigner for Hs256 {
    fn algorithm(&self) -> Algorithm {
        Algorithm::HS256
    }
}

impl JwtVerifier for Hs256 {
    fn algorithm(&self) -> Algorithm {
        Algorithm::HS256
    }
}

static PROVIDER: CryptoProvider = CryptoProvider {
    signer_factory: |algorithm, key| Ok(Box::new(Hs256::new(*algorithm, key.family(), key.as_bytes())?)),
    verifier_factory: |algorithm, key| {
        Ok(Box::new(Hs256::new(
            *algorithm,
            key.family(),
            key.try_get_as_bytes()?,
        )?))
    },
    key_utils: KeyUtils::new_unimplemented(),
};

/// Makes this the token library's provider. `false` when another one is in place.
pub fn install() -> bool {
    static INSTALLED: OnceLock<bool> = OnceLock::new();
    *INSTALLED.get_or_init(|| PROVIDER.install_default().is_ok())
}
