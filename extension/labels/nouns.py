# SPDX-License-Identifier: GPL-2.0-or-later
"""The words for names, sizes, numbers and units on labels: tables like those of `vocabulary`."""

from __future__ import annotations

from extension.labels.vocabulary import Table

NUMBERING: Table = {
    "size": {
        "en": "size, sizes, sz",
        "de": "Größe, Größen, Gr",
        "fr": "taille, tailles, T",
        "es": "talla, tallas, T",
        "it": "taglia*, taglie, Tg",
        "pt": "tamanho, tamanhos, tam, manequim",
        "nl": "maat, maten, mt",
    },
    "one size": {
        "en": "one size, one size fits all",
        "de": "Einheitsgröße",
        "fr": "taille unique",
        "es": "talla única",
        "it": "taglia unica",
        "pt": "tamanho único",
        "nl": "one size, één maat",
    },
    "all sizes": {
        "en": "all sizes, every size",
        "de": "alle Größen",
        "fr": "toutes tailles, toutes les tailles",
        "es": "todas las tallas",
        "it": "tutte le taglie",
        "pt": "todos os tamanhos",
        "nl": "alle maten",
    },
    "to": {
        "en": "to, through, thru, up to",
        "de": "bis",
        "fr": "à, au, jusqu à, jusqu au",
        "es": "a, hasta, a la",
        "it": "a, alla, fino a, fino alla",
        "pt": "a, ao, até",
        "nl": "t/m, tot, tm",
    },
    "from": {
        "en": "from",
        "de": "von",
        "fr": "de, du",
        "es": "de, desde, de la",
        "it": "da, dalla",
        "pt": "de, do, desde",
        "nl": "van",
    },
    "piece": {
        "en": "piece, pattern piece, part, no, number, nr, piece no, piece number, piece nr",
        "de": "Teil, Schnittteil, Schnitteil, Nr, Nummer, Teil Nr, Schnittteil Nr, Teilnummer",
        "fr": "pièce, no, n°, numéro, num, pièce n°, pièce no, pièce numéro",
        "es": "pieza, no, n°, núm, número, pieza n°, pieza n.º, pieza núm, pieza número, n.º",
        "it": "pezzo, n°, numero, num, pezzo n°, pezzo numero, pezzo nr, nr",
        "pt": "peça, no, n°, número, num, peça n°, peça n.º, peça número, n.º",
        "nl": "deel, patroondeel, nr, nummer, deel nr, patroondeel nr, deelnummer",
    },
    "of": {
        "en": "of",
        "de": "von",
        "fr": "sur, de",
        "es": "de",
        "it": "di",
        "pt": "de",
        "nl": "van",
    },
    "another number": {
        "en": "page, pages, p, sheet, view, version, style, model, step, notch, figure, fig, "
        "level, tile, row, copyright, tel, pattern, age, height, test square, "
        "control square, check square, gauge square",
        "de": "Seite, Blatt, Bogen, Ansicht, Modell, Schritt, Abb, Stufe, Variante, Alter, "
        "Körpergröße, Schnitt, Kontrollquadrat, Testquadrat, Prüfquadrat",
        "fr": "page, feuille, vue, modèle, étape, figure, variante, âge, stature, patron, "
        "carré de contrôle, carré test, carré témoin",
        "es": "página, pág, hoja, modelo, paso, figura, versión, edad, altura, patrón, "
        "cuadro de prueba, cuadrado de prueba, cuadrado de control, cuadro de control",
        "it": "pagina, pag, foglio, modello, passo, figura, versione, variante, età, altezza, "
        "cartamodello, quadrato di controllo, quadrato di prova",
        "pt": "página, pág, folha, modelo, passo, figura, versão, idade, altura, molde, "
        "quadrado de teste, quadrado de controle",
        "nl": "pagina, blad, model, stap, figuur, versie, variant, leeftijd, lengte, patroon, "
        "controlevierkant, testvierkant",
    },
}
"""A number behind `piece` is the number of the piece; behind `another number` it is of no use.
Caution: Italian *altezza* and French *laize* are the width of the cloth, no size."""

NOT_CLOTH: Table = {
    "notion": {
        "en": "button, buttons, snap, snaps, zipper, zip, elastic, hook, hooks, eyelet, eyelets, "
        "buckle, buckles, buttonhole, buttonholes, bead, beads, rivet, rivets, ring, rings, "
        "ribbon, tape, thread, notches, toggle, toggles, magnet, magnets",
        "de": "Knopf, Knöpfe, Druckknopf, Druckknöpfe, Reißverschluss, Gummiband, Gummi, Haken, "
        "Öse, Ösen, Knopfloch, Knopflöcher, Schnalle, Niete, Nieten, Kordel, Ring, Ringe",
        "fr": "bouton, boutons, pression, pressions, fermeture, zip, élastique, crochet, "
        "crochets, œillet, œillets, boutonnière, boutonnières, boucle, ruban, anneau, anneaux",
        "es": "botón, botones, corchete, corchetes, cremallera, elástico, goma, ojal, ojales, "
        "hebilla, broche, broches, cinta, anilla, anillas",
        "it": "bottone, bottoni, automatico, automatici, cerniera, elastico, asola, asole, "
        "occhiello, occhielli, fibbia, gancio, ganci, nastro, anello, anelli",
        "pt": "botão, botões, colchete, colchetes, zíper, fecho, elástico, casa, casas, ilhós, "
        "fivela, fita, argola, argolas",
        "nl": "knoop, knopen, drukknoop, drukknopen, rits, elastiek, haakje, haakjes, knoopsgat, "
        "knoopsgaten, gesp, oogje, oogjes, lint, ring, ringen",
    },
    "elsewhere": {
        "en": "to, with, for, match, join, attach, at, from, and to",
        "de": "an, am, mit, zu, zum, zur, auf, für",
        "fr": "à, au, aux, avec, pour, sur",
        "es": "a, al, con, para, en",
        "it": "a, al, alla, con, per",
        "pt": "a, ao, à, com, para, no, na",
        "nl": "aan, met, op, voor, tegen",
    },
    "filler": {
        "en": "of, the, from, in, on, a, an, out, please, fabric, per, your, is, are, all, "
        "this edge, this line, this side, single layer, this piece",
        "de": "aus, im, in, den, dem, der, die, das, vom, Stoff, pro, und, bitte, werden, wird, "
        "ist, sind, diese Kante",
        "fr": "de, du, des, dans, le, la, les, en, un, l, d, est, sont, tissu",
        "es": "de, del, en, la, el, los, las, tela, se, está, están",
        "it": "di, del, della, nel, nella, in, il, la, lo, l, d, da, tessuto, sono, è, già",
        "pt": "de, do, da, no, na, em, o, a, os, as, tecido, são, é, está",
        "nl": "uit, de, het, van, in, een, stof, is, zijn",
    },
}
"""Counts of a `notion` are none of cloth; behind `elsewhere` a name is that of another piece.
`filler` words say nothing by themselves."""

NAMES: Table = {
    "part": {
        "en": "front, back, bodice, sleeve, sleeves, collar, collar stand, stand, cuff, cuffs, "
        "yoke, pocket, pockets, pocket bag, pocketing, flap, facing, facings, waistband, "
        "band, hood, skirt, leg, legs, trouser, trousers, pants, gusset, placket, belt, tie, "
        "ties, strap, straps, loop, loops, tab, panel, neckband, neckline, binding, bib, "
        "apron, peplum, ruffle, frill, flounce, crown, brim, lapel, undercollar, godet, "
        "casing, dress, shirt, jacket, waistcoat, vest, coat, shorts, cape, sash, bow, tail, "
        "hem band, welt, epaulette, body, handle, base, underlap, overlap, fly, fly shield, "
        "cap, carrier, belt carrier, belt loop, belt loops, zip guard, zipper guard, guard, "
        "leaf, pot holder, guide, bias binding, bodice front, bodice back, "
        "insert, gore, pleat panel, pocket facing, pocket lining, sleeve head, sleeve band, "
        "undersleeve, top sleeve, top collar, jacket front, keeper, button stand, "
        "drawstring, waist stay, pocket stay, inset, cowl, skirt panel, corset, cup, sole, "
        "upper, tongue, wing, ear",
        "de": "Vorderteil*, Rückenteil*, Ärmel*, Kragen, Oberkragen, Unterkragen, Kragensteg, "
        "Steg, Manschette, Passe, Schulterpasse, Tasche, Taschenbeutel, Taschenklappe, "
        "Patte, Klappe, Beleg, Besatz, Bund, Bündchen, Kapuze, Rock, Hose, Vorderhose, "
        "Hinterhose, Zwickel, Leiste, Knopfleiste, Gürtel, Träger, Schlaufe, Blende, "
        "Seitenteil, Latz, Schürze, Rüsche, Volant, Schirm, Revers, Kleid, Hemd, Bluse, "
        "Jacke, Weste, Mantel, Oberteil, Unterteil, Vorderrock, Rückenrock, Oberärmel, "
        "Unterärmel, Armbündchen, Halsbündchen, Streifen, Schleife, Riegel, "
        "Rückwärtiges Teil, Vorderes Teil, Hinterteil, Mittelteil, Untertritt, Übertritt, "
        "Schlitzbeleg, Taschenbesatz, Paspel, Tunnelzug, Einsatz, Gürtelschlaufen, "
        "Gürtelschlaufe, Bindeband, Bindebänder, Eingriff, Tascheneingriff, Bahn, Rockbahn, "
        "Godet, Blatt, Kellerfalte, Halsblende, Schößchen, Schlitzleiste, Formbund, "
        "Stehkragen, Paspeltasche, Zipfel, Schlüpfer, Cup, Sohle, Flügel, Ohr",
        "fr": "devant*, dos*, manche*, manches, col, pied de col, poignet, poignets, empiècement, "
        "poche, poches, fond de poche, rabat, parementure, enforme, ceinture, capuche, jupe, "
        "jambe, pantalon, soufflet, patte, patte de boutonnage, bretelle, bretelles, lien, "
        "liens, passant, bande, côté, bavette, tablier, volant, basque, revers, robe, "
        "chemise, veste, gilet, manteau, corsage, biais d'encolure, bande d'encolure, "
        "sous-patte, encolure, gousset, godet, dessus de col, dessous de col, sous col, "
        "feuille, empiècement dos, empiècement devant, passants, bande de taille, "
        "sac de poche, parement, parements, milieu dos, bord, doublure de poche, "
        "patte de poche, patte de serrage, bandes, coulisse, corsage devant, corsage dos, "
        "emmanchure, entournure, panneau, bonnet, semelle, aile, oreille, chapeau",
        "es": "delantero*, delanteros, espalda*, manga*, mangas, cuello, pie de cuello, puño, "
        "puños, canesú, bolsillo, bolsillos, fondo de bolsillo, tapeta, cartera, vista, "
        "pretina, cinturilla, capucha, falda, pierna, pantalón, trasero, fuelle, cinturón, "
        "tirante, tirantes, trabilla, lazo, banda, costado, peto, delantal, volante, solapa, "
        "vestido, camisa, chaqueta, chaleco, abrigo, blusa, corpiño, bolsa de bolsillo, "
        "tapa de bolsillo, tapa, tira, tiras, refuerzo, escote, sisa, hoja, vistas, falso, "
        "trabillas, cuello camisero, bajo cuello, godet, nesga, cuchilla, manguito, "
        "sobremanga, cartera de bolsillo, contorno, forro de bolsillo, lateral, panel, "
        "copa, suela, ala, oreja, entrepierna, bragueta, presilla, presillas",
        "it": "davanti*, dietro*, manica*, maniche, colletto, collo, solino, listino, polsino, "
        "polsini, carré, sprone, tasca, tasche, sacco tasca, pattina, paramontura, "
        "ripiego, ripiego collo, cinturino, cintura, cappuccio, gonna, gamba, pantalone, "
        "pantaloni, "
        "tassello, abbottonatura, bretella, bretelle, passante, laccio, fascia, fianco, "
        "pettorina, grembiule, volant, balza, rever, vestito, camicia, giacca, gilet, "
        "cappotto, corpetto, sottocollo, sopracollo, striscia, strisce, foglia, passanti, "
        "scollo, scollatura, ripiego davanti, ripiego dietro, ripiego scollo, "
        "ripiego manica, fondo tasca, sacchetto tasca, filetto, patta, finta, "
        "listino del collo, fettuccia, rinforzo, pannello, telo, teli, godet, soffietto, "
        "coppa, suola, ala, orecchio, copritasca, cannoncino, spallina, spalline, coulisse, "
        "sottomanica, soprammanica",
        "pt": "frente*, costas*, manga*, mangas, gola, colarinho, pé de gola, punho, punhos, pala, "
        "bolso, bolsos, fundo de bolso, forro de bolso, lapela, revel, cós, capuz, saia, "
        "perna, calça, calças, gavião, carcela, cinto, alça, alças, passador, passante, "
        "faixa, laço, lateral, peitilho, avental, babado, vestido, camisa, casaco, colete, "
        "blusa, corpo, decote, cava, folha, pestana, reforço, tira, tiras, tampa, "
        "tampa do bolso, bolso chapado, passantes, godê, nesga, vista, vistas, "
        "limpeza, limpeza do decote, painel, recorte, forro do bolso, entrepernas, "
        "braguilha, bandeira, presilha, presilhas, copa, sola, asa, orelha, aba, golas, "
        "cintura, barra",
        "nl": "voorpand*, achterpand*, mouw*, mouwen, kraag, staander, manchet, manchetten, "
        "schouderstuk, pas, zak, zakken, zakdeel, zakklep, klep, beleg, tailleband, band, "
        "capuchon, rok, been, pijp, voorbroek, achterbroek, broek, kruisje, split, riem, "
        "schouderband, lus, strik, zijpand, slab, schort, strook, revers, jurk, hemd, jas, "
        "gilet, mantel, boord, voorkant, achterkant, voorrok, achterrok, blad, riemlussen, "
        "riemlus, lussen, hals, halsboord, kraagstaander, onderslag, overslag, ondermouw, "
        "bovenmouw, voorbeleg, achterbeleg, baan, zakbeleg, rijgkoord, inzet, "
        "paspel, paneel, godet, spie, cup, zool, vleugel, oor, tunnel, strikband, sluitband, "
        "knooplijst, gulp, polsband",
    },
    "which": {
        "en": "left, right, upper, lower, under, top, bottom, inner, outer, side, center, centre, "
        "middle, small, large, big, half, short, long, first, second, inside, outside, mini, "
        "gathered, pleated, puff, patch, shoulder, waist, neck, arm, armhole, hip, knee, "
        "head, front, back, lining, cut away, facing, zip, welt, sleeve, appliqué, princess, "
        "trouser, belt, button, panel, bodice, elasticated, kangaroo, cargo, stand up, "
        "shawl, peter pan, raglan, kimono, wrap, high, low, back neck, front neck, puffed, "
        "bishop, bell, flared",
        "de": "linkes, linker, linke, rechtes, rechter, rechte, oberes, oberer, obere, unteres, "
        "unterer, untere, inneres, innerer, innere, äußeres, äußerer, äußere, vorderes, "
        "vorderer, vordere, vorn, hinteres, hinterer, hintere, hinten, seitliches, "
        "seitlicher, seitliche, mittleres, mittlerer, mittlere, kleine, kleiner, großer, "
        "große, rückwärtiges, rückwärtiger, rückwärtige, kurz, kurzer, langer, lange, außen, "
        "innen, oben, unten, links, rechts, aufgesetzte, aufgesetzter, aufgesetztes, seitl, "
        "hint, vord, unt, ob, schmale, schmaler, breite, breiter, eingesetzte, "
        "angeschnittene, gerade, mitte, mittig, kleines, großes, vorne, rückwärts",
        "fr": "gauche, droit, droite, haut, bas, dessus, dessous, supérieur, supérieure, "
        "inférieur, inférieure, intérieur, intérieure, extérieur, extérieure, milieu, petit, "
        "petite, grand, grande, latéral, latérale, court, courte, long, longue, plaquée, "
        "plaquées, appliquée, raglan, avant, arrière, dos, devant, encolure, col, inf, sup, "
        "centre, droits, gauches, extérieurs, intérieurs, passepoilée, italienne, montante, "
        "étroite, large, zippée, cavalière, ballon, bouffante",
        "es": "izquierdo, izquierda, derecho, derecha, superior, inferior, interior, exterior, "
        "central, centro, lateral, pequeño, pequeña, grande, corto, corta, largo, larga, "
        "alto, bajo, de parche, plaqué, arriba, abajo, delantera, delanteras, trasera, "
        "traseras, escote, sup, inf, medio, media, delant, int, ext, raglán, ribeteado, "
        "interna, externa, derechos, izquierdos, pequeños, ancho, ancha, estrecho, estrecha, "
        "dentro, fuera",
        "it": "sinistro, sinistra, destro, destra, superiore, inferiore, interno, interna, "
        "esterno, esterna, centrale, centro, laterale, piccolo, piccola, grande, sopra, "
        "sotto, corto, corta, lungo, lunga, applicata, applicate, sup, inf, davanti, dietro, "
        "medio, media, raglan, a filetto, alto, basso, alta, bassa, stretto, stretta, largo, "
        "larga, int, est, anteriore, posteriore, sin, des, destri, sinistri, dentro, fuori, "
        "scollo",
        "pt": "meio, meia, esquerdo, esquerda, direito, direita, superior, inferior, interno, "
        "interna, "
        "externo, externa, central, centro, pequeno, pequena, grande, curto, curta, longo, "
        "longa, traseiro, dianteiro, traseira, dianteira, cima, baixo, exterior, exteriores, "
        "interior, interiores, decote, chapado, chapados, embutido, aplicado, meio, lateral, "
        "sup, inf, raglã, alto, baixa, largo, larga, estreito, estreita, frente, costas, "
        "fora, dentro, canguru, de trás, da frente",
        "nl": "linker, links, rechter, rechts, boven, onder, bovenste, onderste, binnen, buiten, "
        "binnenste, buitenste, midden, zij, klein, kleine, groot, grote, voor, achter, kort, "
        "korte, lang, lange, opgestikte, opgezette, zijkant, smalle, brede, hoge, lage, "
        "buitenkant, binnenkant, raglan, hals, voorste, achterste, middelste, rechte, schuine",
    },
    "link": {
        "en": "of, the, and, for",
        "de": "für, der, des, vom, und",
        "fr": "de, du, des, de la, de l, d, la, le, les, et",
        "es": "de, del, de la, la, el, y",
        "it": "di, del, della, dello, dei, delle, la, il, e",
        "pt": "de, do, da, dos, das, a, o, e",
        "nl": "van, de, het, en",
    },
}
"""A name is a `part`, with the words beside it that say `which`, held together by `link`."""

ENDINGS = {
    "de": "vorderteil, rückenteil, seitenteil, mittelteil, oberteil, unterteil, hinterteil, ärmel, "
    "kragen, beleg, belege, tasche, taschen, beutel, bund, bündchen, passe, manschette, klappe, "
    "patte, leiste, blende, besatz, kapuze, rock, hose, bahn, träger, schlaufe, schlaufen, riegel, "
    "steg, volant, zwickel, einsatz, tritt, gürtel, latz, schößchen, streifen",
    "nl": "pand, mouw, mouwen, kraag, beleg, zak, zakken, klep, manchet, boord, pas, rok, broek, "
    "strook, staander, lus, lussen, stuk, riem, capuchon, split",
}
"""Ends of words that are a part of a garment however they begin: *Hosenvorderteil*."""

UNITS: Table = {
    "unit mm": {"en": "mm, millimetres, millimeters", "de": "Millimeter", "fr": "millimètres"},
    "unit cm": {
        "en": "cm, centimetres, centimeters",
        "de": "Zentimeter",
        "fr": "centimètres",
        "es": "centímetros",
        "it": "centimetri",
        "pt": "centímetros",
        "nl": "centimeter",
    },
    "unit m": {"en": "m, metre, metres, meter, meters", "de": "Meter", "fr": "mètre, mètres"},
    "unit in": {
        "en": "in, inch, inches",
        "de": "Zoll",
        "fr": "pouce, pouces",
        "es": "pulgada, pulgadas",
        "it": "pollice, pollici",
        "pt": "polegada, polegadas",
        "nl": "inch, duim",
    },
    "unit yd": {"en": "yd, yds, yard, yards"},
}
"""Names of units, by the unit."""

NUMBERS: dict[str, tuple[str, ...]] = {
    "en": ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    "de": ("ein|eine|eins", "zwei", "drei", "vier", "fünf", "sechs", "sieben", "acht"),
    "fr": ("un|une", "deux", "trois", "quatre", "cinq", "six", "sept", "huit"),
    "es": ("un|una|uno", "dos", "tres", "cuatro", "cinco", "seis", "siete", "ocho"),
    "it": ("un|una|uno", "due", "tre", "quattro", "cinque", "sei", "sette", "otto"),
    "pt": ("um|uma", "dois|duas", "três", "quatro", "cinco", "seis", "sete", "oito"),
    "nl": ("een|één", "twee", "drie", "vier", "vijf", "zes", "zeven", "acht"),
}
"""Number words in order, other forms behind a bar. They count only beside a word of their own
language: French *dos* is the back of a garment, Spanish *dos* is two."""

TIMES: dict[str, tuple[str, ...]] = {
    "en": ("once", "twice", "thrice"),
    "de": ("einmal", "zweimal", "dreimal", "viermal"),
    "nl": ("eenmaal", "tweemaal", "driemaal", "viermaal"),
}
"""Words that are a number and `times` in one."""

SEPARATORS: Table = {
    "and": {
        "en": "and",
        "de": "und, sowie",
        "fr": "et",
        "es": "y, e",
        "it": "e, ed",
        "pt": "e",
        "nl": "en",
    },
}

TABLES = (NUMBERING, NOT_CLOTH, NAMES, UNITS, SEPARATORS)
"""All tables of this module that have one row per language."""
