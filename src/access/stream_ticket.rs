//! One-use tickets for the live stream: a browser's `EventSource` cannot send a
//! bearer header, and a token must never stand in an address.
use super::caller::Caller;
use super::refused::Refused;
use super::token::{TICKET_LIFETIME, TokenFault, TokenKind};
use super::{Access, Claims};

/// A ticket for `caller`: good once, for 30 s.
///
/// # Errors
/// Where the machine cannot sign.
pub fn issue(access: &Access, caller: &Caller) -> Result<String, Refused> {
    Ok(access.keys.issue(TokenKind::StreamTicket, caller, access.now())?)
}

/// Takes a ticket in; a second time it is refused.
///
/// Spent tickets are remembered by this process only: with several instances a
/// ticket is good once at each of them, within its 30 s.
///
/// # Errors
/// When it is spent, expired or not a ticket.
pub fn redeem(access: &Access, ticket: &str) -> Result<Claims, Refused> {
    let now = access.now();
    let claims = access.keys.check(TokenKind::StreamTicket, ticket, now)?;
    if access.withdrawn.contains(&claims.identity.sid, now) {
        return Err(TokenFault::Invalid.into());
    }
    let fresh = access
        .spent_tickets
        .insert(&claims.jti, now + TICKET_LIFETIME, now);
    if fresh {
        Ok(claims)
    } else {
        Err(TokenFault::Invalid.into())
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;
    use std::sync::atomic::{AtomicI64, Ordering};

    use chrono::DateTime;

    use super::*;
    use crate::access::Identity;

    #[test]
    fn a_ticket_opens_one_stream_within_half_a_minute() {
        let seconds = Arc::new(AtomicI64::new(1_777_723_200));
        let hand = Arc::clone(&seconds);
        let clock = Arc::new(move || DateTime::from_timestamp(hand.load(Ordering::Relaxed), 0).unwrap());
        let access = Access::new(&[7; 32], "https://desk.example", true, clock).unwrap();
        let identity = Identity {
            sub: "acc_1".into(),
            tid: "trn_1".into(),
            role: "desk".into(),
            sid: "ses_1".into(),
            did: None,
        };
        let issue = |kind| access.keys.issue(kind, &identity, access.now()).unwrap();
        let ticket = issue(TokenKind::StreamTicket);
        assert_eq!(redeem(&access, &ticket).unwrap().identity, identity);
        assert_eq!(redeem(&access, &ticket).unwrap_err(), TokenFault::Invalid.into());
        assert_eq!(
            redeem(&access, &issue(TokenKind::Access)).unwrap_err(),
            TokenFault::Invalid.into()
        );
        let late = issue(TokenKind::StreamTicket);
        seconds.fetch_add(30, Ordering::Relaxed);
        assert_eq!(redeem(&access, &late).unwrap_err(), TokenFault::Expired.into());
    }
}
