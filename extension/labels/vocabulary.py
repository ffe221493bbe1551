# SPDX-License-Identifier: GPL-2.0-or-later
"""The words of pattern labels in seven languages, as tables that a native speaker can edit.

Each idea has one row per language: en English, de German, fr French, es Spanish, it Italian,
pt Portuguese, nl Dutch. Phrases are parted by commas. Case, accents, hyphens, apostrophes and
spaces make no difference: `grain line` also stands for `GRAINLINE`, `droit fil` for `droit-fil`.
An asterisk behind a phrase says that it was seen in print (teaching pages of fabric shops and
pattern makers); the others are common practice from memory, no source: a native reader should
check them. The words for names, sizes and numbers are in `extension.labels.nouns`, those for
materials in `extension.language.vocabulary`.
"""

from __future__ import annotations

Table = dict[str, dict[str, str]]

ACTIONS: Table = {
    "cut": {
        "en": "cut*, cut out, cutting",
        "de": "zuschneiden*, schneiden, ausschneiden, zuschnitt",
        "fr": "couper*, coupez, à couper, découper, tailler",
        "es": "cortar*, corte, corta, cortad, cortan",
        "it": "tagliare*, tagliate, da tagliare, ritagliare",
        "pt": "cortar*, corte, corta, cortam",
        "nl": "knippen*, knip*, snijden",
    },
    "place": {
        "en": "place",
        "de": "legen, anlegen, auflegen",
        "fr": "placer*, placez, poser",
        "es": "colocar, poner",
        "it": "disporre, appoggiare, mettere",
        "pt": "colocar, pôr",
        "nl": "leggen, leg",
    },
    "not": {
        "en": "not, don't, no, never, without",
        "de": "nicht, kein, keine, ohne",
        "fr": "ne pas, pas, ne, sans, non, aucun, aucune",
        "es": "no, sin, ningún, ninguno, ninguna",
        "it": "non, senza, nessun, nessuno, nessuna",
        "pt": "não, sem, nenhum, nenhuma",
        "nl": "niet, geen, zonder",
    },
}

COUNTING: Table = {
    "times": {
        "en": "x, times",
        "de": "x*, mal",
        "fr": "x*, fois*, exemplaires, exemplaire",
        "es": "x, veces, vez",
        "it": "x, volte, volta",
        "pt": "x*, vezes, vez",
        "nl": "x*, keer, maal",
    },
    "copies": {
        "en": "pieces, pcs, pc, copies",
        "de": "Teile, Stück, Stk",
        "fr": "pièces",
        "es": "piezas",
        "it": "pezzi",
        "pt": "peças",
        "nl": "delen, stuks",
    },
    "quantity": {
        "en": "qty, quantity",
        "de": "Anzahl, Menge",
        "fr": "quantité, qté",
        "es": "cantidad, cant",
        "it": "quantità",
        "pt": "quantidade, qtd",
        "nl": "aantal",
    },
    "pair": {
        "en": "pair, pairs, pr, prs",
        "de": "Paar, Paare",
        "fr": "paire, paires",
        "es": "par, pares",
        "it": "paio, paia, coppia, coppie",
        "pt": "par, pares",
        "nl": "paar, paren",
    },
    "mirrored": {
        "en": "mirror, mirrored, mirror image, mirror images, opposite, opposites*, reverse, "
        "reversed, flip, flipped, left and right, right and left, L and R, R and L",
        "de": "gegengleich*, gespiegelt, spiegelverkehrt, spiegelbildlich, links und rechts, "
        "rechts und links",
        "fr": "en miroir*, en symétrie, symétrique, symétriques, en vis à vis, vis à vis, "
        "inversé, inversée, inversées, gauche et droite, droite et gauche",
        "es": "enfrentadas, enfrentados, en espejo, simétricas, simétricos, simétrica, invertida, "
        "izquierda y derecha, derecha e izquierda",
        "it": "speculari, speculare, a specchio, simmetrici, simmetriche, simmetrico, "
        "destra e sinistra, sinistra e destra",
        "pt": "espelhado, espelhada, espelhados, espelhadas, em espelho, simétrico, simétricos, "
        "simétricas, esquerda e direita, direita e esquerda",
        "nl": "gespiegeld, in spiegelbeeld, spiegelbeeld, links en rechts, rechts en links",
    },
    "same": {
        "en": "same direction, in the same direction, same way, same way up, do not mirror, "
        "don't mirror, not mirrored, no mirror, do not flip, do not reverse, not reversed, "
        "right side up, right sides up, RS up, RSU, face up, identical",
        "de": "nicht spiegeln, nicht gespiegelt, nicht gegengleich, gleiche Richtung, "
        "in gleicher Richtung, in die gleiche Richtung, rechte Seite oben, identisch",
        "fr": "même sens, dans le même sens, ne pas inverser, sans inverser, sans symétrie, "
        "pas en miroir, endroit dessus, endroit vers le haut, identiques",
        "es": "mismo sentido, en el mismo sentido, misma dirección, en la misma dirección, "
        "no espejar, no invertir, sin espejo, derecho arriba, derecho hacia arriba, iguales",
        "it": "stesso verso, nello stesso verso, stesso senso, nello stesso senso, non speculari, "
        "non specchiare, dritto verso l'alto, dritto in alto, identici",
        "pt": "mesmo sentido, no mesmo sentido, mesma direção, na mesma direção, não espelhar, "
        "sem espelhar, não espelhado, direito para cima, iguais",
        "nl": "niet spiegelen, niet gespiegeld, zelfde richting, in dezelfde richting, "
        "goede kant boven, identiek",
    },
    "each": {
        "en": "each",
        "de": "je, jeweils",
        "fr": "chaque, chacun",
        "es": "cada",
        "it": "ciascuno, ciascuna, ogni",
        "pt": "cada",
        "nl": "elk, ieder, iedere",
    },
    "left": {
        "en": "left, L",
        "de": "links, linke, linkes",
        "fr": "gauche",
        "es": "izquierda, izquierdo, izq",
        "it": "sinistra, sinistro, sx",
        "pt": "esquerda, esquerdo, esq",
        "nl": "links, linker",
    },
    "right": {
        "en": "right, R",
        "de": "rechts, rechte, rechtes",
        "fr": "droite",
        "es": "derecha, der",
        "it": "destra, destro, dx",
        "pt": "direita, dir",
        "nl": "rechts, rechter",
    },
    "double": {
        "en": "double, doubled, on double, doubled fabric",
        "de": "doppelt, doppelter Stoff, im doppelten Stoff",
        "fr": "en double, double, tissu double",
        "es": "doble, en doble, tela doble",
        "it": "doppio, in doppio, tessuto doppio",
        "pt": "duplo, em duplo, tecido duplo",
        "nl": "dubbel, in dubbele stof, dubbele stof",
    },
}
"""How many, and how the copies lie to each other. `double` does not say how many: it is asked."""

FOLDS: Table = {
    "on fold": {
        "en": "on fold*, on the fold*, place on fold line, place on the fold line, against fold, "
        "against the fold, place on fold of fabric, on fold of fabric, on the fold of the fabric, "
        "on folded fabric, on a fold, place to fold",
        "de": "im Bruch*, im Stoffbruch*, i. Br.*, in den Bruch, in den Stoffbruch, am Bruch, "
        "am Stoffbruch, an den Bruch, an den Stoffbruch, im Stoffumbruch, zum Stoffbruch, "
        "Stoffbruch*",
        "fr": "au pli*, sur le pli, sur pli, dans le pli*, à la pliure, sur la pliure*, "
        "sur la pliure du tissu, dans la pliure, au pli du tissu, sur le pli du tissu, "
        "pliure du tissu",
        "es": "al doblez*, al lomo*, en doblez, en el doblez, sobre el doblez*, sobre doblez, "
        "sobre el lomo, a doblez, al doblez de la tela, sobre el doblez de la tela, "
        "doblez de la tela, doblez de tela, lomo de la tela",
        "it": "sulla piega, nella piega, sulla ripiegatura, nella ripiegatura*, sulla piegatura*, "
        "sul ripiego, alla piega, sulla piega del tessuto, piega del tessuto, "
        "ripiegatura del tessuto",
        "pt": "na dobra*, na dobra do tecido, à dobra, sobre a dobra, dobra do tecido",
        "nl": "aan de stofvouw*, tegen de stofvouw, op de stofvouw, aan stofvouw, tegen stofvouw, "
        "op stofvouw, op de vouw, aan de vouw, tegen de vouw, op vouw, stofvouw*",
    },
    "fold": {
        "en": "fold, fold line, foldline, fold edge, on fold line, on the fold line, "
        "fold of fabric",
        "de": "Bruch, Bruchkante, Bruchlinie, Bruchstelle",
        "fr": "pli, pliure, ligne de pliure, ligne de pli",
        "es": "doblez, línea de doblez, lomo",
        "it": "piega, ripiegatura, piegatura, ripiego, linea di piega",
        "pt": "dobra, linha de dobra, linha da dobra",
        "nl": "vouw, vouwlijn",
    },
    "centre": {
        "en": "CF, CB, center front, centre front, center back, centre back",
        "de": "VM, HM, vordere Mitte, hintere Mitte, rückwärtige Mitte",
        "fr": "milieu devant, milieu dos, MD",
        "es": "centro delantero, centro espalda, centro de la espalda",
        "it": "centro davanti*, centro dietro",
        "pt": "centro frente, centro costas, centro da frente, centro das costas",
        "nl": "middenvoor*, middenachter*, MV, MA, midden voor, midden achter",
    },
    "another fold": {
        "en": "hem, hems, pleat, pleats, tuck, tucks, dart, darts, stitch, sew, topstitch, press, "
        "iron, turn, turning, baste, edge stitch, crease, match",
        "de": "Saum, Falte, Falten, Abnäher, Umschlag, umbügeln, bügeln, steppen, absteppen, "
        "nähen, umschlagen, umlegen",
        "fr": "ourlet, plis, pince, rempli, piquer, surpiquer, coudre, repasser, replier, "
        "rabattre, pli creux",
        "es": "dobladillo, pliegue, pinza, coser, pespuntear, planchar, doblar",
        "it": "orlo, pince, ripresa, cucire, impunturare, stirare, piegare",
        "pt": "bainha, prega, pence, costurar, pespontar, passar, dobrar",
        "nl": "zoom, plooi, figuurnaad, stikken, doorstikken, naaien, strijken, omvouwen, vouwen",
    },
}
"""`on fold` stands for itself; `fold` only where nothing else in its clause says which fold; with
`another fold` beside it, neither is: it is the fold of a hem or pleat, or a step of sewing."""

GRAINS: Table = {
    "straight": {
        "en": "grain line*, grain*, straight grain*, straight of grain*, lengthwise grain*, "
        "on grain, on the straight, on the straight grain, on the straight of grain, S.G., "
        "S.O.G., straight of goods",
        "de": "Fadenlauf*, im Fadenlauf, im geraden Fadenlauf, gerader Fadenlauf, FL, fadengerade*",
        "fr": "droit fil*, droit de fil, DF, en droit fil, dans le droit fil, sens du tissu, "
        "fil droit",
        "es": "hilo*, recto hilo, al hilo, sentido del hilo, hilo de la tela, al hilo de la tela, "
        "rectohilo",
        "it": "dritto filo*, diritto filo*, in dritto filo, in drittofilo, DF, filo dritto",
        "pt": "fio*, fio reto, sentido do fio, no fio, fio do tecido, ao fio, direção do fio",
        "nl": "draadrichting, rechte draad, recht van draad, draadlijn, rechtdraads",
    },
    "cross": {
        "en": "cross grain*, crosswise grain*, on the cross grain, on cross grain, cross wise",
        "de": "Querfadenlauf, im Querfadenlauf, querer Fadenlauf, quer zum Fadenlauf, "
        "im queren Fadenlauf",
        "fr": "contre fil, à contre fil, sens de la trame, travers du tissu",
        "es": "contrahilo, a contrahilo, al contrahilo, al través",
        "it": "in trama, trama, filo trasversale, controfilo",
        "pt": "contrafio, no contrafio, contra fio, fio atravessado",
        "nl": "dwarsdraad, dwars op de draad, dwarsdraads, dwarse draad",
    },
    "bias": {
        "en": "bias*, on bias*, on the bias*, true bias*, bias grain, on the cross, "
        "bias grain line",
        "de": "schräger Fadenlauf*, im schrägen Fadenlauf*, schrägen Fadenlauf, "
        "im Schrägfadenlauf, Schrägfadenlauf, diagonal zum Fadenlauf, schräg zum Fadenlauf",
        "fr": "biais*, plein biais*, dans le biais, en biais, de biais, dans le plein biais",
        "es": "al bies, bies, al sesgo, sesgo, en bies",
        "it": "in sbieco, sbieco, di sbieco",
        "pt": "no viés, viés, em viés, enviesado, no enviesado",
        "nl": "schuin van draad, biais, schuine draad, schuindraads",
    },
    "not a grain": {
        "en": "bias tape, bias binding, bias strip, bias facing, against the grain, off grain",
        "de": "Schrägband, Schrägstreifen",
        "fr": "ruban de biais, ruban biais, bande de biais",
        "es": "cinta al bies, cinta de bies",
        "it": "fettuccia in sbieco, nastro in sbieco",
        "pt": "fita de viés, tira de viés",
        "nl": "biaisband",
    },
}

CLOTH: Table = {
    "nap": {
        "en": "with nap*, nap, one way, one way design, this way up, direction of nap, pile, "
        "direction of pile, N/O/W",
        "de": "Strichrichtung, mit Strich, mit dem Strich, Strich, Musterrichtung, Florrichtung, "
        "Laufrichtung",
        "fr": "sens du poil, avec sens, avec poil, sens du motif, sens unique",
        "es": "con pelo, sentido del pelo, dirección del pelo, pelo, dibujo con pie*, "
        "una dirección",
        "it": "verso del pelo, senso del pelo, con verso, verso del disegno",
        "pt": "pé da estampa*, sentido do pelo, com pé, com sentido, estampa com pé",
        "nl": "vleug, vleugrichting, looprichting, met vleug, patroonrichting",
    },
    "no nap": {
        "en": "without nap*, no nap, two way, either way, N/E/W, without one way design",
        "de": "ohne Strich, ohne Strichrichtung, ohne Musterrichtung",
        "fr": "sans sens, sans poil",
        "es": "sin pelo, sin dirección",
        "it": "senza verso, senza pelo",
        "pt": "sem pé, sem sentido, sem pelo",
        "nl": "zonder vleug, zonder patroonrichting",
    },
    "stretch": {
        "en": "stretch*, DOGS*, direction of greatest stretch*, greatest stretch, most stretch*, "
        "direction of stretch, one way stretch, two way stretch, 2 way stretch, 4 way stretch, "
        "four way stretch, maximum stretch",
        "de": "Dehnrichtung, Dehnungsrichtung, größte Dehnung, dehnbar, bi elastisch",
        "fr": "sens le plus extensible*, sens de l'élasticité, sens extensible, extensible",
        "es": "sentido de mayor elasticidad, mayor elasticidad, dirección de mayor elasticidad",
        "it": "direzione elasticità, direzione dell'elasticità, senso dell'elasticità, "
        "massima elasticità",
        "pt": "sentido do maior alongamento, maior alongamento, sentido da elasticidade, "
        "maior elasticidade",
        "nl": "rekrichting, meeste rek, richting van de meeste rek",
    },
}

ALLOWANCES: Table = {
    "allowance": {
        "en": "seam allowance*, seam allowances*, SA*, S/A, seam and hem allowance, "
        "seam and hem allowances, seams",
        "de": "Nahtzugabe*, Nahtzugaben*, NZG*, NZ, Naht und Saumzugabe, Naht und Saumzugaben",
        "fr": "valeur de couture*, valeurs de couture*, valeurs de coutures, marge de couture*, "
        "marges de couture*, marges de coutures, rentré de couture, rentrés de couture, couture, "
        "coutures",
        "es": "margen de costura*, márgenes de costura, margen de costuras, margen, costuras",
        "it": "margine di cucitura*, margini di cucitura, margine cucitura, margini cucitura, "
        "cuciture",
        "pt": "margem de costura, margens de costura, margem, costuras",
        "nl": "naadtoeslag, naadtoeslagen, naadwaarde*, naadwaarden, naad, naden",
    },
    "included": {
        "en": "included*, includes, include, including, incl",
        "de": "enthalten, inkl, inklusive, inbegriffen, inclusive",
        "fr": "comprise*, comprises*, compris, incluse, incluses, inclus, incluant, inclut, "
        "incluent, comprend",
        "es": "incluido, incluidos, incluida, incluidas, incluye, incluyen, incluir",
        "it": "compreso*, compresi, compresa, incluso, inclusi, comprese, incluse, già compreso*, "
        "già compresi, inclusa, include, includono, comprende",
        "pt": "incluída, incluídas, incluído, incluídos, inclusa, inclusas, já incluída, inclui, "
        "incluem",
        "nl": "inbegrepen*, inclusief, incl",
    },
    "excluded": {
        "en": "not included*, excluded, excluding, excl, not incl, without, no, none",
        "de": "nicht enthalten, ohne, exkl, exklusive, nicht inbegriffen, keine, kein",
        "fr": "non comprise*, non comprises*, non compris, non incluse, non incluses, non inclus, "
        "sans, pas comprises, pas comprise, aucune, aucun, n'inclut pas, n'incluent pas, "
        "ne comprend pas",
        "es": "no incluido, no incluidos, no incluida, no incluye, sin, sin incluir, no incluyen, "
        "ningún, ninguno",
        "it": "non compreso, non compresi, non incluso, non inclusi, escluso, esclusi, senza, "
        "non include, non comprende, nessun, nessuno",
        "pt": "não incluída, não incluídas, não incluído, sem, não inclusa, não inclui, nenhuma",
        "nl": "niet inbegrepen, exclusief, excl, zonder, niet inclusief, geen",
    },
    "add": {
        "en": "add, adding, plus, must be added, to be added",
        "de": "zugeben, hinzufügen, zuzüglich, zzgl, plus, dazugeben, anschneiden, "
        "zugegeben werden",
        "fr": "ajouter, ajoutez, plus",
        "es": "añadir, añade, agregar, sumar, más",
        "it": "aggiungere, aggiungete, più",
        "pt": "acrescentar, adicionar, somar, mais",
        "nl": "toevoegen, bijtekenen, plus, extra",
    },
    "another allowance": {
        "en": "hem allowance, hem allowances, hem",
        "de": "Saumzugabe, Saumzugaben, Saum",
        "fr": "valeur d'ourlet, marge d'ourlet, ourlet",
        "es": "dobladillo, margen de dobladillo",
        "it": "orlo, margine per l'orlo",
        "pt": "bainha, margem de bainha",
        "nl": "zoomtoeslag, zoom",
    },
}

TABLES = (ACTIONS, COUNTING, FOLDS, GRAINS, CLOTH, ALLOWANCES)
"""All tables of this module."""
