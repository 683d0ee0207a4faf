//! Sentences about the house: machines, places, stock, setting up.

/// English key, French text.
pub(super) const HOUSE: &[(&str, &str)] = &[
    // forms of pages
    (
        "Send this form from its page.",
        "Envoyez ce formulaire depuis sa page.",
    ),
    (
        "This file is not text in UTF-8; save it as CSV, JSON or iCalendar in UTF-8 and choose it again.",
        "Ce fichier n’est pas du texte en UTF-8 ; enregistrez-le en CSV, JSON ou iCalendar en UTF-8 et choisissez-le de nouveau.",
    ),
    // photos of marks
    (
        "Choose a photo: a JPEG, PNG or WebP file in the field photo.",
        "Choisissez une photo : un fichier JPEG, PNG ou WebP dans le champ photo.",
    ),
    (
        "Send the photo whole, as a form with files.",
        "Envoyez la photo entière, dans un formulaire avec fichiers.",
    ),
    (
        "A photo may have at most 8 MiB; set the camera to a smaller picture and take it again.",
        "Une photo compte au plus 8 Mio ; réglez l’appareil sur une image plus petite et reprenez-la.",
    ),
    (
        "This file is neither JPEG nor PNG nor WebP; set the camera to JPEG and take the photo again.",
        "Ce fichier n’est ni JPEG, ni PNG, ni WebP ; réglez l’appareil sur JPEG et reprenez la photo.",
    ),
    (
        "This picture cannot be read; take the photo again.",
        "Cette image est illisible ; reprenez la photo.",
    ),
    (
        "This picture has too many points; set the camera to at most 50 megapixels and take it again.",
        "Cette image a trop de points ; réglez l’appareil sur 50 mégapixels au plus et reprenez-la.",
    ),
    (
        "A racket has at most {} photos; remove one that is no longer needed first.",
        "Une raquette a au plus {} photos ; retirez d’abord celle dont on n’a plus besoin.",
    ),
    (
        "No such job of this racket.",
        "Cette raquette n’a pas de tel travail.",
    ),
    (
        "Give head_top, shoulders, throat or grommets.",
        "Donnez head_top, shoulders, throat ou grommets.",
    ),
    ("Give 1 to {} days.", "Donnez de 1 à {} jours."),
    // machines
    (
        "The station has no job to call help for.",
        "Le poste n’a pas de travail pour lequel appeler de l’aide.",
    ),
    ("Give at most {} readings.", "Donnez au plus {} mesures."),
    (
        "readings: give at least 3, here are {}.",
        "readings : donnez-en au moins 3, en voici {}.",
    ),
    (
        "readings[{}]: nominal and measured must be above 0 and at most 10000.",
        "readings[{}] : nominal et measured doivent être supérieurs à 0 et au plus 10000.",
    ),
    (
        "The end of the business day is not known: set the tournament's time zone and business_day_ends.",
        "La fin de la journée n’est pas connue : réglez le fuseau horaire et business_day_ends du tournoi.",
    ),
    (
        "Give measured pull over shown pull, {} to {}; a machine further off needs an adjustment.",
        "Donnez la traction mesurée divisée par l’affichée, de {} à {} ; plus loin, la machine demande un réglage.",
    ),
    (
        "No such machine; add it first.",
        "Pas de telle machine ; ajoutez-la d’abord.",
    ),
    // shifts
    (
        "A day has at most {} shifts.",
        "Un jour compte au plus {} services.",
    ),
    ("Write the time as hh:mm.", "Écrivez l’heure sous la forme hh:mm."),
    (
        "The shift ends before it begins.",
        "Le service finit avant de commencer.",
    ),
    (
        "The station has another shift at that time.",
        "Le poste a un autre service à cette heure.",
    ),
    ("{} works at {} at that time.", "{} travaille à {} à cette heure."),
    // custody and hand-out
    (
        "Rackets go to their owners by POST /v1/pickups, or by give_back or return.",
        "Les raquettes vont à leur propriétaire par POST /v1/pickups, ou par give_back ou return.",
    ),
    (
        "\"{}\" is not a place; use owner, desk, runner, station:<id> or shelf:<slot> (1 to 40 letters, digits, '_', '-' or '.').",
        "« {} » n’est pas un lieu ; écrivez desk, runner, station:<id> ou shelf:<slot> (1 à 40 lettres, chiffres, « _ », « - » ou « . »).",
    ),
    ("No such station here.", "Pas de tel poste ici."),
    (
        "The racket is with its owner; take it in by POST /v1/jobs.",
        "La raquette est chez son propriétaire ; recevez-la par POST /v1/jobs.",
    ),
    (
        "The racket lies on a machine; finish it there, or hand it over.",
        "La raquette est sur une machine ; finissez-la là, ou transmettez-la.",
    ),
    ("Name at least one job.", "Nommez au moins un travail."),
    (
        "These rackets belong to different players; hand them out one player at a time.",
        "Ces raquettes sont à des joueurs différents ; remettez-les joueur par joueur.",
    ),
    (
        "This ticket is not the owner's, or a newer one replaced it.",
        "Ce ticket n’est pas celui du propriétaire, ou un plus récent le remplace.",
    ),
    (
        "This badge is not the owner's.",
        "Ce badge n’est pas celui du propriétaire.",
    ),
    (
        "The player has not named this person.",
        "Le joueur n’a pas nommé cette personne.",
    ),
    (
        "The second person must be another account of this tournament.",
        "La seconde personne doit être un autre compte de ce tournoi.",
    ),
    (
        "This hand-out was taken back already.",
        "Cette remise est déjà annulée.",
    ),
    // snags and stock
    ("Choose one of: {}.", "Choisissez parmi : {}."),
    ("Somebody decided this first.", "Quelqu’un a décidé avant vous."),
    ("Not enough in stock: {}.", "Pas assez en stock : {}."),
    (
        "It is not to be strung: stop, take it off the machine and bring it to the desk.",
        "Elle n’est plus à corder : arrêtez, retirez-la de la machine et apportez-la au comptoir.",
    ),
    (
        "There were never more than {} m on this piece. Count again, or say where more comes from.",
        "Il n’y a jamais eu plus de {} m sur cette pièce. Recomptez, ou dites d’où vient le surplus.",
    ),
    (
        "The holes of {} are not on record yet. Enter them in the frame's record first.",
        "Les trous de {} ne sont pas encore notés. Notez-les d’abord dans la fiche du cadre.",
    ),
    (
        "The job still asks for what is not in stock: {}. Change its spec first.",
        "Le travail demande encore ce qui n’est pas en stock : {}. Changez d’abord son souhait.",
    ),
    (
        "Say which string: `string_id` of the list, or `name` for the player's own.",
        "Dites quelle corde : `string_id` de la liste, ou `name` pour celle du joueur.",
    ),
    (
        "No such string in this tournament.",
        "Pas de telle corde dans ce tournoi.",
    ),
    (
        "No such string; list it first.",
        "Pas de telle corde ; inscrivez-la d’abord.",
    ),
    (
        "Give the diameter in mm, 0.4 to 2.0, such as \"1.25\".",
        "Donnez le diamètre en mm, de 0.4 à 2.0, par exemple \"1.25\".",
    ),
    (
        "Another piece carries this label.",
        "Un autre morceau porte cette étiquette.",
    ),
    (
        "Give a length of 1 to {} mm.",
        "Donnez une longueur de 1 à {} mm.",
    ),
    (
        "This person is not named, or was withdrawn meanwhile.",
        "Cette personne n’est pas nommée, ou a été retirée entre-temps.",
    ),
    (
        "Five people are named already; withdraw one first.",
        "Cinq personnes sont déjà nommées ; retirez-en une d’abord.",
    ),
    (
        "This is not the code on the owner's page now; load the page again.",
        "Ce n’est pas le code qui est maintenant sur la page du propriétaire ; rechargez la page.",
    ),
    (
        "{} is here already; give this one a name of its own.",
        "{} existe déjà ; donnez à celui-ci un nom à lui.",
    ),
    // the order of play
    (
        "This is the order of play of {}: choose that day.",
        "C’est l’ordre de jeu du {} : choisissez ce jour.",
    ),
    (
        "Nothing that the desk entered about this match is left to take back.",
        "Il ne reste rien que le bureau ait saisi sur ce match et qui puisse être retiré.",
    ),
    (
        "{} jobs would be late at once. Look at the preview, then repeat with confirm=true.",
        "{} travaux seraient en retard d’un coup. Regardez l’aperçu, puis répétez avec confirm=true.",
    ),
    (
        "Match {} ended as {}: is the racket still wanted? Ask the player.",
        "Le match {} s’est terminé par {} : la raquette est-elle encore voulue ? Demandez au joueur.",
    ),
    // setting up
    (
        "{} mm is more than {} mm, the limit of {}. Measure the frame again.",
        "{} mm dépasse {} mm, la limite de {}. Mesurez le cadre à nouveau.",
    ),
    (
        "The frame record contradicts itself; look at the frame and correct the members named.",
        "La fiche du cadre se contredit ; regardez le cadre et corrigez les membres nommés.",
    ),
    (
        "Give an IANA time zone, such as Europe/Paris.",
        "Donnez un fuseau horaire IANA, par exemple Europe/Paris.",
    ),
    (
        "Give the venue's time as HH:MM, such as 04:00.",
        "Donnez l’heure du lieu en HH:MM, par exemple 04:00.",
    ),
    ("Give 0 to {} per cent.", "Donnez de 0 à {} pour cent."),
    (
        "Give a name of 1 to 120 characters.",
        "Donnez un nom de 1 à 120 caractères.",
    ),
    (
        "Give 1 to 60 characters without spaces.",
        "Donnez de 1 à 60 caractères sans espace.",
    ),
    (
        "Give at most {} characters, without line breaks.",
        "Donnez au plus {} caractères, sans saut de ligne.",
    ),
    (
        "Give 1 to {} characters, without line breaks.",
        "Donnez de 1 à {} caractères, sans saut de ligne.",
    ),
    (
        "Somebody has this sign-in; choose another.",
        "Quelqu’un a déjà cet identifiant ; choisissez-en un autre.",
    ),
    (
        "No such stringer; add them first.",
        "Pas de tel cordeur ; ajoutez-le d’abord.",
    ),
    ("No such stringer here.", "Pas de tel cordeur ici."),
    ("No such stringer.", "Pas de tel cordeur."),
    (
        "No such player; register them first.",
        "Pas de tel joueur ; enregistrez-le d’abord.",
    ),
    ("No such player.", "Pas de tel joueur."),
    (
        "No such frame; record it first.",
        "Pas de tel cadre ; notez-le d’abord.",
    ),
    (
        "No such station; add it first.",
        "Pas de tel poste ; ajoutez-le d’abord.",
    ),
    ("No such station.", "Pas de tel poste."),
    (
        "No such job in this tournament.",
        "Pas de tel travail dans ce tournoi.",
    ),
    ("Another player has this badge.", "Un autre joueur a ce badge."),
    (
        "Another racket carries this label.",
        "Une autre raquette porte cette étiquette.",
    ),
    (
        "Give the time needed over the ordinary time, 0.3 to 3.",
        "Donnez le temps nécessaire divisé par le temps ordinaire, de 0.3 à 3.",
    ),
    ("Give 1 to 100 rackets.", "Donnez de 1 à 100 raquettes."),
    ("Give the name of the machine.", "Donnez le nom de la machine."),
    (
        "Rackets of a drop-off are here; announce single ones by POST /v1/jobs.",
        "Les raquettes d’un dépôt sont là ; annoncez-en une seule par POST /v1/jobs.",
    ),
    // what the plan says
    (
        "It is not at its player's own station: waiting for that one would cost more than the change.",
        "Il n’est pas au poste habituel du joueur : l’attendre coûterait plus que le changement.",
    ),
    ("{}: {}, {} min late.", "{} : {}, {} min de retard."),
    ("{}: {}, in time.", "{} : {}, à l’heure."),
    ("It is held.", "Il est retenu."),
    ("No station is open.", "Aucun poste n’est ouvert."),
    (
        "The station or stringer it is meant for is not at work.",
        "Le poste ou le cordeur prévu n’est pas au travail.",
    ),
    (
        "No open station has the swivel clamps its method takes.",
        "Aucun poste ouvert n’a les pinces pivotantes que demande sa méthode.",
    ),
    ("{} becomes in time.", "{} sera à l’heure."),
    // the more particular one first
    (
        "{} becomes {} min late instead of {}.",
        "{} aura {} min de retard au lieu de {}.",
    ),
    ("{} becomes {} min late.", "{} aura {} min de retard."),
    (
        "{} waits in the queue, in time.",
        "{} attend dans la file, à l’heure.",
    ),
    (
        "{} waits in the queue, {} min late.",
        "{} attend dans la file, avec {} min de retard.",
    ),
    ("Nobody becomes later.", "Personne ne prend de retard."),
    (
        "{} is on the machine and stays there.",
        "{} est sur la machine et y reste.",
    ),
    (
        "The rackets of 1 more player are split between stations.",
        "Les raquettes d’un joueur de plus sont réparties entre plusieurs postes.",
    ),
    (
        "The rackets of {} more players are split between stations.",
        "Les raquettes de {} joueurs de plus sont réparties entre plusieurs postes.",
    ),
    (
        "The rackets of 1 player less are split between stations.",
        "Les raquettes d’un joueur de moins sont réparties entre plusieurs postes.",
    ),
    (
        "The rackets of {} players less are split between stations.",
        "Les raquettes de {} joueurs de moins sont réparties entre plusieurs postes.",
    ),
    ("{} stays {} min late.", "{} garde {} min de retard."),
    ("{} stays in time.", "{} reste à l’heure."),
    ("Play stops on {}.", "Le jeu s’arrête sur {}."),
    ("No racket waits on it.", "Aucune raquette n’en dépend."),
    ("1 racket waits on it.", "1 raquette en dépend."),
    ("{} rackets wait on it.", "{} raquettes en dépendent."),
    ("No ready-by moves.", "Aucune heure limite ne change."),
    (
        "The ready-by of 1 job moves.",
        "L’heure limite de 1 raquette change.",
    ),
    (
        "The ready-bys of {} jobs move.",
        "Les heures limites de {} raquettes changent.",
    ),
    ("It has a place at a station.", "Il a une place à un poste."),
    (
        "It is on a machine: hand it over there.",
        "Il est sur une machine : passez-le là-bas.",
    ),
    (
        "Name courts of today's order of play.",
        "Nommez des courts de l’ordre des matchs d’aujourd’hui.",
    ),
    ("The next plan has it.", "Le prochain plan le contient."),
    ("It is held: {}.", "Il est retenu : {}."),
    ("No such job.", "Pas de tel travail."),
    (
        "The job is at another station; refuse it there.",
        "Le travail est à un autre poste ; refusez-le là-bas.",
    ),
    (
        "Every stringer at work who could do it has refused it.",
        "Tous les cordeurs présents qui pourraient le faire l’ont refusé.",
    ),
];
