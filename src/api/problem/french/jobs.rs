//! Sentences about jobs: states, the queue, the counter, the bench; the more particular one stands first.

/// English key, French text.
pub(super) const JOBS: &[(&str, &str)] = &[
    // calls from a court
    (
        "Nobody of this tournament has this account; choose who runs.",
        "Personne de ce tournoi n’a ce compte ; choisissez qui court.",
    ),
    (
        "{} is in already, to be strung as it was asked: call it without a change.",
        "{} est déjà là, à corder comme demandé : appelez-la sans changement.",
    ),
    (
        "Choose the court, or write where the player is.",
        "Choisissez le court, ou écrivez où se trouve le joueur.",
    ),
    (
        "Choose the racket that broke.",
        "Choisissez la raquette dont le cordage a cassé.",
    ),
    (
        "Tap Picked up first: the racket is still on the shelf.",
        "Touchez d’abord « Picked up » : la raquette est encore sur l’étagère.",
    ),
    (
        "No court has called for this racket.",
        "Aucun court n’a demandé cette raquette.",
    ),
    // lines of paper
    ("Give 1 to {} lines.", "Donnez de 1 à {} lignes."),
    (
        "An earlier line of this racket is wrong; mend that one first.",
        "Une ligne précédente de cette raquette est fausse ; corrigez-la d’abord.",
    ),
    (
        "What this line names is not there.",
        "Ce que nomme cette ligne n’existe pas ici.",
    ),
    (
        "This line can't be entered.",
        "Cette ligne ne peut pas être saisie.",
    ),
    (
        "The written time has not come yet; check the hour.",
        "L’heure écrite n’est pas encore venue ; vérifiez l’heure.",
    ),
    (
        "No racket has this code; its line \"taken in\" is missing.",
        "Aucune raquette n’a ce code ; sa ligne « taken in » manque.",
    ),
    (
        "{} is {} since {}, later than this line was written; check time and code.",
        "{} est {} depuis {}, plus tard que l’heure écrite ; vérifiez l’heure et le code.",
    ),
    (
        "This racket was not strung here before: take it in on Hand In, with this code and its written time.",
        "Cette raquette n’a pas encore été cordée ici : recevez-la sur Hand In, avec ce code et l’heure écrite.",
    ),
    // what a ready-by follows
    (
        "A named match gives the ready-by; leave out due_at, or name no match.",
        "Un match nommé donne l’heure voulue ; omettez due_at, ou ne nommez pas de match.",
    ),
    (
        "Say when it must be ready: a time in due_at, a match in match_id, or follows_match.",
        "Dites pour quand elle doit être prête : une heure dans due_at, un match dans match_id, ou follows_match.",
    ),
    (
        "This player does not play that match; name one of theirs, or give a time in due_at.",
        "Ce joueur ne dispute pas ce match ; nommez l’un des siens, ou donnez une heure dans due_at.",
    ),
    (
        "No such match is still to come; look at the order of play, or give a time in due_at.",
        "Aucun match de ce nom n’est à venir ; consultez l’ordre des matchs, ou donnez une heure dans due_at.",
    ),
    (
        "No match of this player is in the order of play yet; give the time until then in due_at.",
        "Aucun match de ce joueur n’est encore à l’ordre des matchs ; donnez l’heure d’ici là dans due_at.",
    ),
    // the weave method at the bench
    (
        "Choose a racket that is still here.",
        "Choisissez une raquette qui est encore ici.",
    ),
    (
        "Choose one of the weave methods.",
        "Choisissez l’une des méthodes de tissage.",
    ),
    (
        "The weave method is chosen at the bench; take the job to a station first.",
        "La méthode de tissage se choisit à l’établi ; prenez d’abord le travail à un poste.",
    ),
    (
        "The strings are in too far for another weave method; finish this one, or give the attempt up and begin again.",
        "Les cordes sont trop avancées pour une autre méthode de tissage ; finissez celle-ci, ou abandonnez l’essai et recommencez.",
    ),
    (
        "Frame or owner decide the weave method here: {} The desk can change the spec.",
        "Le cadre ou le propriétaire décide ici de la méthode de tissage : {} Le comptoir peut changer le souhait.",
    ),
    (
        "\"{}\" cannot be used here: {}.",
        "« {} » n’est pas possible ici : {}.",
    ),
    // the job's state
    (
        "The desk rushes only for a player on court (level \"court\"); ask a coordinator.",
        "Le comptoir ne presse que pour un joueur sur le court (niveau « court ») ; demandez à un coordinateur.",
    ),
    ("{} is done by: {}.", "« {} » revient à : {}."),
    (
        "There is no job yet. {} is for a job that is {}.",
        "Il n’y a pas encore de travail. « {} » vaut pour un travail qui est {}.",
    ),
    (
        "There is a job already; it is {}.",
        "Il y a déjà un travail ; il est {}.",
    ),
    (
        "The job is held; release it first.",
        "Le travail est retenu ; libérez-le d’abord.",
    ),
    ("The job is paused already.", "Le travail est déjà en pause."),
    ("The job is not paused.", "Le travail n’est pas en pause."),
    ("The job is not held.", "Le travail n’est pas retenu."),
    ("The job is not rushed.", "Le travail n’est pas pressé."),
    (
        "The job is at \"{}\" already; phases only go forward. Take the last tap back within 60 s, or ask an admin to correct the job.",
        "Le travail en est déjà à « {} » ; les phases ne vont qu’en avant. Annulez la dernière dans les 60 s, ou demandez à un administrateur de corriger le travail.",
    ),
    (
        "The job is {}; {} is the coordinator's from there.",
        "Le travail est {} ; à partir de là, « {} » revient au coordinateur.",
    ),
    (
        "The job is {}. {} is for a job that is {}.",
        "Le travail est {}. « {} » vaut pour un travail qui est {}.",
    ),
    (
        "The spec was changed; read the change and acknowledge it first.",
        "Le souhait a changé ; lisez le changement et confirmez-le d’abord.",
    ),
    (
        "The machine has no good calibration today; check it, or ask a coordinator to clear it.",
        "La machine n’a pas de bon étalonnage aujourd’hui ; contrôlez-la, ou demandez à un coordinateur de la libérer.",
    ),
    (
        "The station has another job; finish it or move it first.",
        "Le poste a un autre travail ; finissez-le ou déplacez-le d’abord.",
    ),
    (
        "No change of the spec is unread.",
        "Aucun changement du souhait n’attend d’être lu.",
    ),
    (
        "The last phase, tied off, is tapped; finish the job.",
        "La dernière phase, « noué », est notée ; terminez le travail.",
    ),
    (
        "The check of this racket is recorded; pass it, or say what does not pass.",
        "Le contrôle de cette raquette est enregistré ; validez-la, ou dites ce qui ne va pas.",
    ),
    (
        "No phase of this attempt was tapped.",
        "Aucune phase de cet essai n’a été notée.",
    ),
    (
        "The racket went out unstrung; take it in anew.",
        "La raquette est sortie sans être cordée ; reprenez-la à neuf.",
    ),
    (
        "It is not known when the racket went out.",
        "On ne sait pas quand la raquette est sortie.",
    ),
    (
        "The racket is not here, so there is nothing to give back.",
        "La raquette n’est pas là : il n’y a rien à rendre.",
    ),
    (
        "The phase tied off is not tapped yet; tap it first.",
        "La phase « noué » n’est pas encore notée ; notez-la d’abord.",
    ),
    (
        "No check of this racket is recorded; record one first.",
        "Aucun contrôle de cette raquette n’est noté ; notez-en un d’abord.",
    ),
    (
        "This can be taken back within {} s; {} s have passed. An admin can correct the job.",
        "Cela s’annule dans les {} s ; {} s ont passé. Un administrateur peut corriger le travail.",
    ),
    (
        "The job has been started: say what happens to the strings that are in.",
        "Le travail est commencé : dites ce que deviennent les cordes déjà posées.",
    ),
    (
        "Only a job at a station calls for help.",
        "Seul un travail à un poste peut appeler de l’aide.",
    ),
    (
        "The word is for a job that waits or has its place at a station.",
        "L’autorisation vaut pour un travail en attente ou attribué à un poste.",
    ),
    (
        "A place at a station is not set by hand: correct to `waiting`, then assign and start.",
        "Une place à un poste ne se fixe pas à la main : corrigez vers `waiting`, puis attribuez et commencez.",
    ),
    (
        "This racket has another open job, {}; end that one first.",
        "Cette raquette a un autre travail ouvert, {} ; terminez celui-là d’abord.",
    ),
    (
        "{} has {} already; finish or move it first.",
        "{} a déjà {} ; finissez-le ou déplacez-le d’abord.",
    ),
    ("Give a time that is still to come.", "Donnez une heure à venir."),
    // the queue
    (
        "The station is closed; open it to get jobs.",
        "Le poste est fermé ; ouvrez-le pour recevoir des travaux.",
    ),
    ("Nothing waits.", "Rien n’attend."),
    (
        "{} wait, but none that {} may do now.",
        "{} attendent, mais aucun que {} puisse faire maintenant.",
    ),
    (
        "{} job(s) go before it at {}.",
        "{} travail ou travaux passent avant lui à {}.",
    ),
    ("Not at {}: {}.", "Pas à {} : {}."),
    (
        "It does not wait for a station now.",
        "Il n’attend pas de poste maintenant.",
    ),
    // hand-in
    (
        "No such racket here; register it first.",
        "Pas de telle raquette ici ; enregistrez-la d’abord.",
    ),
    (
        "This racket is announced as {}; check it in by the action check_in.",
        "Cette raquette est annoncée sous le code {} ; recevez-la par l’action check_in.",
    ),
    (
        "This racket is already in as {}, since {}.",
        "Cette raquette est déjà là sous le code {}, depuis {}.",
    ),
    (
        "The hoop is cracked: it can break under tension and hurt somebody. Give the racket back, or take the owner's signed word that it is at their own risk.",
        "Le cadre est fêlé : il peut casser sous tension et blesser quelqu’un. Rendez la raquette, ou prenez la décharge signée du propriétaire.",
    ),
    (
        "A cracked hoop is strung only with the owner's word.",
        "Un cadre fêlé ne se corde qu’avec la décharge du propriétaire.",
    ),
    (
        "The frame's holes are not on record: read them off the frame.",
        "Les trous du cadre ne sont pas notés : lisez-les sur le cadre.",
    ),
    (
        "This tournament has used up its tag codes.",
        "Ce tournoi a épuisé ses codes d’étiquette.",
    ),
    (
        "This code is on another racket already.",
        "Ce code est déjà sur une autre raquette.",
    ),
    (
        "This code was not reserved; leave it out for a fresh one.",
        "Ce code n’a pas été réservé ; omettez-le pour en recevoir un neuf.",
    ),
    // wishes
    (
        "Read back to the player first: \"{}\". Send the sentence they agreed to.",
        "Relisez d’abord au joueur : « {} ». Envoyez la phrase qu’il a acceptée.",
    ),
    (
        "Give either `spec` or `same_again`, not both: the one says what the other leaves to last time.",
        "Donnez `spec` ou `same_again`, pas les deux : l’un dit ce que l’autre reprend de la dernière fois.",
    ),
    (
        "Give `spec`, or `same_again`, or the player's `wish`.",
        "Donnez `spec`, ou `same_again`, ou le `wish` du joueur.",
    ),
    (
        "This racket was not strung here before, nor another of its model: give the whole `spec`.",
        "Ni cette raquette ni une autre de son modèle n’a été cordée ici : donnez le `spec` entier.",
    ),
    (
        "\"{}\" is for {} rackets, but this drop-off has {}: hand in that many together, or say it for one.",
        "« {} » vaut pour {} raquettes, mais ce dépôt en a {} : déposez-en autant ensemble, ou dites-le pour une seule.",
    ),
    (
        "\"{}\" means {} at {}, but the spec says {}: ask the player and send one of the two.",
        "« {} » veut dire {} à {}, mais le souhait écrit dit {} : demandez au joueur et envoyez l’un des deux.",
    ),
    (
        "\"{}\" and the spec differ in the number of pieces: ask the player.",
        "« {} » et le souhait écrit diffèrent sur le nombre de brins : demandez au joueur.",
    ),
    // tensions
    (
        "{} with its knot extra is above this frame's range {}.",
        "{} avec le supplément du nœud dépasse la plage de ce cadre, {}.",
    ),
    (
        "{} with its knot extra is above {}, what {} rackets take (this frame has no range on record).",
        "{} avec le supplément du nœud dépasse {}, ce que prennent les raquettes de {} (ce cadre n’a pas de plage notée).",
    ),
    (
        "{} is above this frame's range {}.",
        "{} dépasse la plage de ce cadre, {}.",
    ),
    (
        "{} is above {}, what {} rackets take (this frame has no range on record).",
        "{} dépasse {}, ce que prennent les raquettes de {} (ce cadre n’a pas de plage notée).",
    ),
    (
        "{} with its knot extra is below this frame's range {}.",
        "{} avec le supplément du nœud est sous la plage de ce cadre, {}.",
    ),
    (
        "{} with its knot extra is below {}, what {} rackets take (this frame has no range on record).",
        "{} avec le supplément du nœud est sous {}, ce que prennent les raquettes de {} (ce cadre n’a pas de plage notée).",
    ),
    (
        "{} is below this frame's range {}.",
        "{} est sous la plage de ce cadre, {}.",
    ),
    (
        "{} is below {}, what {} rackets take (this frame has no range on record).",
        "{} est sous {}, ce que prennent les raquettes de {} (ce cadre n’a pas de plage notée).",
    ),
    ("Did you mean {} ({})?", "Vouliez-vous dire {} ({}) ?"),
    (
        "Ask the owner; if they insist, send `override` with a reason.",
        "Demandez au propriétaire ; s’il insiste, envoyez `override` avec un motif.",
    ),
    // the bench
    (
        "Say at which station the job starts.",
        "Dites à quel poste le travail commence.",
    ),
    (
        "Scan the racket's tag, or type its code.",
        "Lisez l’étiquette de la raquette, ou tapez son code.",
    ),
    (
        "The tag {} is another racket's; this job is {}. Compare the marks and scan the right one.",
        "L’étiquette {} est celle d’une autre raquette ; ce travail est {}. Comparez les marques et lisez la bonne.",
    ),
    (
        "Scan the string for the {}, or confirm it by name: {}.",
        "Lisez la corde des {}, ou confirmez-la par son nom : {}.",
    ),
    (
        "This is not the string for the {}: the job asks for {}.",
        "Ce n’est pas la corde des {} : le travail demande {}.",
    ),
    (
        "This piece has {} mm left and the cut takes {} mm; take a longer one.",
        "Il reste {} mm sur ce morceau et la coupe en prend {} ; prenez-en un plus long.",
    ),
    (
        "Give the number on the instrument, above 0.",
        "Donnez le nombre lu sur l’instrument, supérieur à 0.",
    ),
];
