//! Every reason the API can give for refusing: one table, nothing elsewhere.
//!
//! A code is a promise: it never changes its meaning. The titles and the
//! explanations may be reworded; `api/problems.md` is written from here.

/// Declares the codes with their status and both languages.
macro_rules! problem_codes {
    ($($name:ident = $status:literal $code:literal
        en $en_title:literal, $en_more:literal;
        fr $fr_title:literal, $fr_more:literal;)+) => {
        /// A stable reason for a refusal.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Code { $($name,)+ }

        impl Code {
            /// Every code, in the order of the table.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// What the table says about this code.
            pub const fn entry(self) -> Entry {
                match self {
                    $(Self::$name => Entry {
                        status: $status,
                        code: $code,
                        title: [$en_title, $fr_title],
                        explanation: [$en_more, $fr_more],
                    },)+
                }
            }
        }
    };
}

/// One line of the table; texts in the order English, French.
#[derive(Debug, Clone, Copy)]
pub struct Entry {
    pub status: u16,
    pub code: &'static str,
    pub title: [&'static str; 2],
    pub explanation: [&'static str; 2],
}

impl Code {
    /// The last segment of the problem's address: the code with hyphens.
    pub fn slug(self) -> String {
        self.entry().code.replace('_', "-")
    }

    /// The code whose address ends in `slug`.
    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|code| code.slug() == slug)
    }
}

problem_codes! {
    MalformedJson = 400 "malformed_json"
        en "The body is not valid JSON", "The body cannot be read as JSON in UTF-8. Send one JSON document; the detail names line and column.";
        fr "Le corps n’est pas du JSON valide", "Le corps ne peut pas être lu comme du JSON en UTF-8. Envoyez un seul document JSON ; le détail indique la ligne et la colonne.";
    MalformedRequest = 400 "malformed_request"
        en "The request cannot be read", "A header or another part of the request does not have the form its standard asks for. The detail names it.";
        fr "La requête est illisible", "Un en-tête ou une autre partie de la requête n’a pas la forme voulue par sa norme. Le détail la nomme.";
    UnknownParameter = 400 "unknown_parameter"
        en "Unknown query parameter", "The address carries a query parameter this operation does not know. Nothing is ignored silently, so that a typing error is seen; remove it or correct its name.";
        fr "Paramètre de requête inconnu", "L’adresse porte un paramètre que cette opération ne connaît pas. Rien n’est ignoré en silence : retirez-le ou corrigez son nom.";
    InvalidParameter = 400 "invalid_parameter"
        en "A query parameter has a wrong value", "A query parameter is given twice, is missing or has a value this operation does not take. The detail says which and what is expected.";
        fr "Un paramètre de requête a une mauvaise valeur", "Un paramètre est donné deux fois, manque ou a une valeur que cette opération n’accepte pas. Le détail dit lequel et ce qui est attendu.";
    ForeignCursor = 400 "foreign_cursor"
        en "The cursor does not belong to this list", "The value of `after` was not made by this list with these filters. Start again without `after` and follow the `next` links.";
        fr "Le curseur n’appartient pas à cette liste", "La valeur de `after` ne vient pas de cette liste avec ces filtres. Recommencez sans `after` et suivez les liens `next`.";
    IdempotencyKeyMissing = 400 "idempotency_key_missing"
        en "An Idempotency-Key header is needed", "This operation creates or moves something, so a repeat must be recognised. Send `Idempotency-Key` with a fresh value, and the same value when you repeat the request.";
        fr "Un en-tête Idempotency-Key est nécessaire", "Cette opération crée ou déplace quelque chose : une répétition doit être reconnue. Envoyez `Idempotency-Key` avec une valeur neuve, et la même valeur si vous répétez la requête.";
    IdempotencyKeyMalformed = 400 "idempotency_key_malformed"
        en "The Idempotency-Key header cannot be read", "The key is 1 to 255 visible ASCII characters, quoted or not. A random UUID is a good key.";
        fr "L’en-tête Idempotency-Key est illisible", "La clé compte de 1 à 255 caractères ASCII visibles, entre guillemets ou non. Un UUID aléatoire convient.";
    NotSignedIn = 401 "not_signed_in"
        en "Sign in first", "The request carries no access token. Sign in with `POST /v1/sessions` and send the token as `Authorization: Bearer`.";
        fr "Connectez-vous d’abord", "La requête ne porte pas de jeton d’accès. Connectez-vous par `POST /v1/sessions` et envoyez le jeton dans `Authorization: Bearer`.";
    TokenExpired = 401 "token_expired"
        en "The access token has expired", "Access tokens live for 15 minutes. Refresh it with `POST /v1/sessions/current/refresh` or sign in again.";
        fr "Le jeton d’accès a expiré", "Un jeton d’accès vit 15 minutes. Renouvelez-le par `POST /v1/sessions/current/refresh` ou reconnectez-vous.";
    TokenInvalid = 401 "token_invalid"
        en "The access token is not valid", "The token was not issued by this service, was changed, is of another kind or was withdrawn. Sign in again.";
        fr "Le jeton d’accès n’est pas valable", "Le jeton n’a pas été émis par ce service, a été modifié, est d’une autre sorte ou a été retiré. Reconnectez-vous.";
    SignInFailed = 401 "sign_in_failed"
        en "Sign-in failed", "The name and the password, or the device and the PIN, do not belong together. The answer does not say which part is wrong.";
        fr "Échec de la connexion", "Le nom et le mot de passe, ou l’appareil et le code PIN, ne vont pas ensemble. La réponse ne dit pas quelle partie est fausse.";
    RoleForbidden = 403 "role_forbidden"
        en "Your role may not do this", "You are signed in, but this operation belongs to other roles.";
        fr "Votre rôle ne le permet pas", "Vous êtes connecté, mais cette opération revient à d’autres rôles.";
    ScopeForbidden = 403 "insufficient_scope"
        en "The key's scopes do not cover this", "An integration key may do only what its scopes say. Ask for a key with the scope named in the detail.";
        fr "La portée de la clé ne couvre pas cela", "Une clé d’intégration ne peut faire que ce que dit sa portée. Demandez une clé avec la portée nommée dans le détail.";
    CrossSiteRequest = 403 "cross_site_request"
        en "The request came from another site", "A change made with the browser's session cookie must come from this service's own pages. Programs send a bearer token instead.";
        fr "La requête vient d’un autre site", "Un changement fait avec le cookie de session doit venir des pages de ce service. Un programme envoie plutôt un jeton.";
    NotFound = 404 "not_found"
        en "Nothing is at this address", "There is no such operation or thing, or it belongs to another tournament.";
        fr "Rien à cette adresse", "Il n’y a pas d’opération ni d’objet de ce nom, ou il appartient à un autre tournoi.";
    MethodNotAllowed = 405 "method_not_allowed"
        en "This address does not take that method", "The `Allow` header lists the methods this address takes.";
        fr "Cette adresse n’accepte pas cette méthode", "L’en-tête `Allow` donne les méthodes que cette adresse accepte.";
    NotAcceptable = 406 "not_acceptable"
        en "No form you accept is offered", "The `Accept` header excludes the media type this operation answers with. The detail names what is offered.";
        fr "Aucune forme acceptée n’est offerte", "L’en-tête `Accept` exclut le type de média de la réponse. Le détail nomme ce qui est offert.";
    ActionNotAllowed = 409 "action_not_allowed"
        en "Not possible in this state", "The job's state does not allow this action now. `allowed_actions` lists what is possible, and why the others are not.";
        fr "Impossible dans cet état", "L’état du travail ne permet pas cette action maintenant. `allowed_actions` donne ce qui est possible et pourquoi le reste ne l’est pas.";
    NothingWaiting = 409 "nothing_waiting"
        en "Nothing waits for this station", "No waiting job can be done at this station. `next_expected_at` says when the next one is expected, when that is known.";
        fr "Rien n’attend pour ce poste", "Aucun travail en attente ne peut être fait à ce poste. `next_expected_at` dit quand le prochain est attendu, si on le sait.";
    RacketAlreadyIn = 409 "racket_already_in"
        en "This racket is already in", "The racket has an open job. Change that job, or give the racket back first.";
        fr "Cette raquette est déjà là", "La raquette a un travail ouvert. Modifiez ce travail ou rendez d’abord la raquette.";
    AlreadyExists = 409 "already_exists"
        en "It exists already", "Something with the same name, label or code is stored. The detail names it.";
        fr "Cela existe déjà", "Un objet du même nom, de la même étiquette ou du même code est enregistré. Le détail le nomme.";
    AlreadyDecided = 409 "already_decided"
        en "Somebody decided first", "The snag was decided meanwhile. `current` shows who decided what.";
        fr "Quelqu’un a décidé avant vous", "Le problème a été tranché entre-temps. `current` montre qui a décidé quoi.";
    StaleVersion = 412 "stale_version"
        en "It has changed since you read it", "The version in `If-Match` is not the current one. `current` holds the current representation; look at it, then try again with its ETag.";
        fr "Cela a changé depuis votre lecture", "La version de `If-Match` n’est plus l’actuelle. `current` contient la représentation actuelle ; regardez-la puis réessayez avec son ETag.";
    BodyTooLarge = 413 "body_too_large"
        en "The body is too large", "A body may have at most 1 MiB (1,048,576 bytes), a photo 8 MiB (8,388,608 bytes).";
        fr "Le corps est trop grand", "Un corps compte au plus 1 Mio (1 048 576 octets), une photo 8 Mio (8 388 608 octets).";
    UnsupportedMediaType = 415 "unsupported_media_type"
        en "The body has the wrong media type", "Send `Content-Type: application/json`, `application/merge-patch+json` with PATCH, or `multipart/form-data` with a photo.";
        fr "Le corps n’a pas le bon type de média", "Envoyez `Content-Type: application/json`, `application/merge-patch+json` avec PATCH, ou `multipart/form-data` avec une photo.";
    InvalidBody = 422 "invalid_body"
        en "The body is not what this operation takes", "The body is JSON, but a member is unknown, missing or of the wrong kind. `errors` points at it. Nothing was changed.";
        fr "Le corps n’est pas celui attendu", "Le corps est du JSON, mais un membre est inconnu, manquant ou de la mauvaise sorte. `errors` le désigne. Rien n’a été changé.";
    IdempotencyKeyReused = 422 "idempotency_key_reused"
        en "This Idempotency-Key was used for something else", "The key came before with another operation or body. Take a fresh key for a new request.";
        fr "Cette Idempotency-Key a déjà servi à autre chose", "La clé est déjà venue avec une autre opération ou un autre corps. Prenez une clé neuve pour une requête nouvelle.";
    UnknownReference = 422 "unknown_reference"
        en "The body names something that does not exist", "An id, label or code in the body belongs to nothing in this tournament. `errors` points at it.";
        fr "Le corps nomme quelque chose qui n’existe pas", "Un identifiant, une étiquette ou un code du corps n’appartient à rien dans ce tournoi. `errors` le désigne.";
    CheckTheCode = 422 "check_the_code"
        en "Check the code", "The tag code's check symbol does not fit, so a character was misread. The codes have no vowels and no 1, I, L.";
        fr "Vérifiez le code", "Le symbole de contrôle du code ne convient pas : un caractère a été mal lu. Les codes n’ont ni voyelles ni 1, I, L.";
    TensionOutOfRange = 422 "tension_out_of_range"
        en "Tension is outside this frame's range", "The frame's maker gives a range of tensions and this one is outside. Check number and unit; a person may insist with a reason where `override` says so.";
        fr "La tension sort de la plage de ce cadre", "Le fabricant donne une plage de tensions et celle-ci en sort. Vérifiez le nombre et l’unité ; une personne peut insister avec un motif si `override` le dit.";
    OverrideNeedsReason = 422 "override_needs_reason"
        en "Insisting needs a reason", "A rule may be overridden here, but only with a reason, which is kept in the racket's story.";
        fr "Insister demande un motif", "La règle peut être levée ici, mais avec un motif, gardé dans l’histoire de la raquette.";
    FrameDamaged = 422 "frame_damaged"
        en "The frame is recorded as cracked", "A cracked frame can break under tension and hurt somebody. It is not strung; give the racket back or record a new inspection.";
        fr "Le cadre est noté fêlé", "Un cadre fêlé peut casser sous tension et blesser quelqu’un. On ne le corde pas ; rendez la raquette ou notez un nouvel examen.";
    FrameContradicts = 422 "frame_contradicts"
        en "The frame record contradicts itself", "Two facts of the frame record exclude each other. `errors` names them; correct the record after looking at the frame.";
        fr "La fiche du cadre se contredit", "Deux faits de la fiche s’excluent. `errors` les nomme ; corrigez la fiche après avoir regardé le cadre.";
    OutsideLimits = 422 "outside_limits"
        en "Outside the limits of this sport", "The frame or the wish lies outside what the rules of the sport or the stringing model cover. `errors` gives the limit and its source.";
        fr "Hors des limites de ce sport", "Le cadre ou le souhait sort de ce que couvrent les règles du sport ou le modèle. `errors` donne la limite et sa source.";
    WrongTag = 422 "wrong_tag"
        en "This is another racket", "The scanned tag does not belong to this job. Compare the marks and scan the right racket.";
        fr "C’est une autre raquette", "L’étiquette lue n’est pas celle de ce travail. Comparez les marques et lisez la bonne raquette.";
    WrongString = 422 "wrong_string"
        en "This is another string", "The scanned string is not the one the job asks for at this place. Scan the right one, or let the desk change the job.";
        fr "C’est une autre corde", "La corde lue n’est pas celle que le travail demande à cet endroit. Lisez la bonne, ou faites modifier le travail.";
    StringTooShort = 422 "string_too_short"
        en "This piece of string is too short", "The piece that was scanned has less left than the plan cuts. Take a longer piece, or correct what is left of this one after measuring it.";
        fr "Ce morceau de corde est trop court", "Il reste moins sur le morceau lu que ce que le plan coupe. Prenez un morceau plus long, ou corrigez son reste après l’avoir mesuré.";
    NoStock = 422 "no_stock"
        en "The string is not in stock", "There is not enough of a string that the job asks for. Change the string, book a delivery in, or let the player bring their own.";
        fr "La corde n’est pas en stock", "Il n’y a pas assez d’une corde que le travail demande. Changez de corde, enregistrez une livraison, ou laissez le joueur apporter la sienne.";
    WishUnclear = 422 "wish_unclear"
        en "The wish is not clear yet", "The wish as spoken cannot be read, leaves something open, contradicts the rest of the request, or was not read back. `errors` quotes the words and says what to ask.";
        fr "Le souhait n’est pas encore clair", "Le souhait tel que dit est illisible, laisse une question, contredit le reste de la requête ou n’a pas été relu. `errors` cite les mots et dit quoi demander.";
    EvidenceMissing = 422 "evidence_missing"
        en "Something that must be given is missing", "The action needs evidence such as a scan, a reason or a check. `errors` lists what is missing.";
        fr "Il manque quelque chose d’obligatoire", "L’action demande une preuve : une lecture, un motif ou un contrôle. `errors` donne ce qui manque.";
    ProofRefused = 422 "proof_refused"
        en "The proof does not fit", "The ticket, code or badge does not belong to this racket's owner or to a person they named.";
        fr "La preuve ne convient pas", "Le ticket, le code ou le badge n’est pas celui du propriétaire ni d’une personne qu’il a nommée.";
    RuleRefused = 422 "rule_refused"
        en "A rule forbids this", "The request is well formed, but what it asks is not possible. The detail says why and what is.";
        fr "Une règle l’interdit", "La requête est bien formée, mais ce qu’elle demande n’est pas possible. Le détail dit pourquoi et ce qui l’est.";
    FeedJump = 422 "feed_jump"
        en "Many jobs would be late at once", "The change of match times would make five or more jobs late at once; such a change is often a typing error. Look at the preview, then repeat it with `confirm=true`.";
        fr "Beaucoup de travaux seraient en retard d’un coup", "Le changement des heures de match mettrait cinq travaux ou plus en retard d’un coup ; c’est souvent une faute de frappe. Regardez l’aperçu, puis répétez avec `confirm=true`.";
    VersionRequired = 428 "version_required"
        en "Say which version you mean to change", "Send `If-Match` with the ETag of the representation you looked at, so that nobody's change is lost.";
        fr "Dites quelle version vous voulez changer", "Envoyez `If-Match` avec l’ETag de la représentation que vous avez vue, pour ne perdre le changement de personne.";
    TooManyTries = 429 "too_many_tries"
        en "Too many tries", "Sign-ins, PINs and pickup codes may be tried only so often. Wait as long as `Retry-After` says.";
        fr "Trop d’essais", "Les connexions, codes PIN et codes de retrait ne peuvent être essayés que de temps en temps. Attendez le temps dit par `Retry-After`.";
    InternalFault = 500 "internal_fault"
        en "Something went wrong here", "The fault is on our side and is in the log under `trace_id`. Nothing was half done; trying again with the same Idempotency-Key is safe.";
        fr "Une panne de notre côté", "La faute est chez nous et se trouve dans le journal sous `trace_id`. Rien n’a été fait à moitié ; réessayer avec la même Idempotency-Key est sûr.";
    Unavailable = 503 "unavailable"
        en "Not available just now", "The database cannot be reached or is busy. Try again after the time in `Retry-After` with the same Idempotency-Key.";
        fr "Momentanément indisponible", "La base de données est occupée ou injoignable. Réessayez après le temps dit par `Retry-After` avec la même Idempotency-Key.";
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn codes_are_distinct_snake_case_and_found_by_their_slug() {
        let mut seen = BTreeSet::new();
        for code in Code::ALL {
            let entry = code.entry();
            assert!(seen.insert(entry.code), "{} stands twice", entry.code);
            assert!(
                entry
                    .code
                    .bytes()
                    .all(|byte| byte.is_ascii_lowercase() || byte == b'_')
            );
            assert_eq!(Code::from_slug(&code.slug()), Some(*code));
            assert!((400..600).contains(&entry.status));
        }
        assert_eq!(Code::from_slug("no-such-code"), None);
    }

    #[test]
    fn every_code_says_something_different_in_each_language() {
        for code in Code::ALL {
            let entry = code.entry();
            assert_ne!(entry.title[0], entry.title[1], "{} is not translated", entry.code);
            assert_ne!(
                entry.explanation[0], entry.explanation[1],
                "{} is not translated",
                entry.code
            );
        }
    }
}
