//! Sentences about a wish as it was spoken: what is not read, what has to be asked, what to say instead.

/// English key, French text.
pub(super) const WISHES: &[(&str, &str)] = &[
    // what has to be asked
    (
        "Nothing is on record from last time.",
        "Rien n’est noté de la dernière fois.",
    ),
    (
        "What tension, mains and crosses?",
        "Quelle tension, montants et travers ?",
    ),
    ("What tension for the {}?", "Quelle tension pour les {} ?"),
    ("In which unit: {}?", "Dans quelle unité : {} ?"),
    ("Is {} one number or two?", "{} est-il un seul nombre ou deux ?"),
    // what is not read
    (
        "\"{}\": \"{}\" is not understood here.",
        "« {} » : « {} » n’est pas compris ici.",
    ),
    ("\"{}\" is not understood here.", "« {} » n’est pas compris ici."),
    ("Understood: {}.", "Compris : {}."),
    (
        "The sign {} is not read in a wish.",
        "Le signe {} ne se lit pas dans un souhait.",
    ),
    ("It is not said by how much.", "Il n’est pas dit de combien."),
    ("More than one tension is said.", "Plus d’une tension est dite."),
    (
        "No tension is said for the {}.",
        "Aucune tension n’est dite pour les {}.",
    ),
    (
        "A tension and a change on last time are both said.",
        "Une tension et un écart avec la dernière fois sont dits à la fois.",
    ),
    (
        "Two units are said, and a number has none.",
        "Deux unités sont dites, et un nombre n’en a pas.",
    ),
    ("A tension must be above 0.", "Une tension est supérieure à 0."),
    (
        "The number {} has too many digits.",
        "Le nombre {} a trop de chiffres.",
    ),
    (
        "A dash between two numbers can mean several things.",
        "Un tiret entre deux nombres peut vouloir dire plusieurs choses.",
    ),
    (
        "Commas part numbers and decimals here, and they cannot be told apart.",
        "Les virgules séparent ici des nombres et des décimales : on ne peut pas les distinguer.",
    ),
    (
        "One piece and two pieces are both said.",
        "Un brin et deux brins sont dits à la fois.",
    ),
    // what to say instead
    (
        "Leave it out, or write it behind a semicolon as a remark.",
        "Enlevez-le, ou écrivez-le après un point-virgule comme remarque.",
    ),
    (
        "Say for example \"one kilo down on last time\".",
        "Dites par exemple « one kilo down on last time ».",
    ),
    (
        "Say for example \"mains 24, crosses 23\".",
        "Dites par exemple « mains 24, crosses 23 ».",
    ),
    (
        "Write 24/23 for mains and crosses, or \"one each at 24 and 25\" for several rackets.",
        "Écrivez 24/23 pour montants et travers, ou « one each at 24 and 25 » pour plusieurs raquettes.",
    ),
    (
        "Write 24/23 for mains and crosses, or \"one kilo down on last time\".",
        "Écrivez 24/23 pour montants et travers, ou « one kilo down on last time ».",
    ),
    (
        "Say the tensions, such as 24/23, or the change, such as \"one kilo down on last time\".",
        "Dites les tensions, par exemple 24/23, ou l’écart, par exemple « one kilo down on last time ».",
    ),
    (
        "Say the unit behind each number.",
        "Dites l’unité après chaque nombre.",
    ),
    (
        "Give the tension in kilograms, pounds or newtons.",
        "Donnez la tension en kilogrammes, livres ou newtons.",
    ),
    (
        "Give at most 4 before and 3 behind the point.",
        "Donnez-en au plus 4 avant et 3 après le point.",
    ),
    (
        "Write decimals with a point and put a space behind each comma: 24.5, 25.5.",
        "Écrivez les décimales avec un point et mettez une espace après chaque virgule : 24.5, 25.5.",
    ),
    (
        "Say two knots for one piece, or four knots for two pieces.",
        "Dites deux nœuds pour un brin, ou quatre nœuds pour deux brins.",
    ),
];
