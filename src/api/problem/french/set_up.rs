//! Sentences about what a desk is set up with, where it is asked about or corrected.

/// English key, French text.
pub(super) const SET_UP: &[(&str, &str)] = &[
    (
        "{} {} is no tension of a {} racket. Is the range in {}? If it is meant so, send `override` with a reason.",
        "{} {} n’est pas une tension de raquette de {}. La plage est-elle en {} ? Si c’est voulu, envoyez `override` avec un motif.",
    ),
    (
        "This is your own account: another admin may take this from you, you cannot.",
        "C’est votre propre compte : un autre admin peut vous le retirer, pas vous-même.",
    ),
    ("Say why it is meant so.", "Dites pourquoi c’est voulu."),
    (
        "Give its smallest step as a number above 0, such as 0.5.",
        "Donnez son plus petit pas, un nombre supérieur à 0, par exemple 0.5.",
    ),
    (
        "Steps of {} {} are coarser than any machine's. If it is meant so, send `override` with a reason.",
        "Des pas de {} {} sont plus grands que ceux de toute machine. Si c’est voulu, envoyez `override` avec un motif.",
    ),
    (
        "{} is at this station and planned for its machine; finish it or move it first.",
        "{} est à ce poste et prévu pour sa machine ; terminez-le ou déplacez-le d’abord.",
    ),
    (
        "Give a role of people: desk, stringer, coordinator, runner, referee, accounts or admin.",
        "Donnez un rôle de personne : desk, stringer, coordinator, runner, referee, accounts ou admin.",
    ),
];
