# SPDX-License-Identifier: GPL-2.0-or-later
"""The words of pattern labels in seven languages, as tables that a native speaker can edit.

Each idea has one row per language: en English, de German, fr French, es Spanish, it Italian,
pt Portuguese, nl Dutch. Phrases are parted by commas. Case, accents, hyphens, apostrophes and
spaces make no difference: `grain line` also stands for `GRAINLINE`, `droit fil` for `droit-fil`.
An asterisk behind a phrase says that it was seen in print (teaching pages of fabric shops and
pattern makers); the others are common practice from memory, no source: a native reader should
check them. The words for names, sizes and numbers are in `nouns`, for grain, nap and allowance in
`cloth_words`, those that turn a meaning in `doubts`, materials in `extension.language.vocabulary`.
"""

from __future__ import annotations

Table = dict[str, dict[str, str]]

ACTIONS: Table = {
    "cut": {
        "en": "cut*, cut out, cutting",
        "de": "zuschneiden*, schneiden, ausschneiden, zuschnitt, schneide, zuschneiden aus, "
        "zuzuschneiden",
        "fr": "couper*, coupez, à couper, découper, tailler, taillez, découpez, coupe",
        "es": "cortar*, corte, corta, cortad, cortan, recortar",
        "it": "tagliare*, taglia, tagliate, da tagliare, ritagliare",
        "pt": "cortar*, corte, corta, cortam, recortar",
        "nl": "knippen*, knip*, snijden, uitknippen, te knippen",
    },
    "place": {
        "en": "place, lay, put, align",
        "de": "legen, anlegen, auflegen, platzieren, stellen",
        "fr": "placer*, placez, poser, mettre, positionner",
        "es": "colocar, poner, situar, disponer, ubicar, posicionar",
        "it": "disporre, appoggiare, mettere, posizionare, posizionate, porre, collocare",
        "pt": "colocar, pôr, posicionar",
        "nl": "leggen, leg, plaatsen, neerleggen, aanleggen",
    },
    "not": {
        "en": "not, don't, no, never, without, not ever",
        "de": "nicht, kein, keine, ohne, nie, niemals, keinesfalls, auf keinen Fall, nirgends",
        "fr": "ne pas, pas, ne, sans, non, aucun, aucune, jamais, ne jamais, en aucun cas",
        "es": "no, sin, ningún, ninguno, ninguna, nunca, jamás, en ningún caso",
        "it": "non, senza, nessun, nessuno, nessuna, mai, non mai, in nessun caso",
        "pt": "não, sem, nenhum, nenhuma, nunca, jamais, em nenhum caso",
        "nl": "niet, geen, zonder, nooit, nimmer, in geen geval",
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
        "en": "pieces, pcs, pc, copies, off",
        "de": "Teile, Stück, Stk",
        "fr": "pièces, morceaux",
        "es": "piezas, partes",
        "it": "pezzi, parti",
        "pt": "peças, partes",
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
        "reversed, flip, flipped, left and right, right and left, L and R, R and L, "
        "cut in mirror image, as a mirrored pair, opposing, right and left side, mirroring, "
        "symmetrical, symmetry",
        "de": "gegengleich*, gespiegelt, spiegelverkehrt, spiegelbildlich, links und rechts, "
        "rechts und links, spiegelbildlich zuschneiden, gegengleiche, seitenverkehrt, "
        "gespiegelte, links u rechts, rechts u links, gegeneinander, Spiegelung, symmetrisch",
        "fr": "en miroir*, en symétrie, symétrique, symétriques, en vis à vis, vis à vis, inversé, "
        "inversée, inversées, gauche et droite, droite et gauche, inversés, inverse, "
        "en symétrique, symétriquement, miroir, retournée, en sens opposé, droit et gauche, "
        "gauche et droit, opposés, opposées, symétrie",
        "es": "enfrentadas, enfrentados, en espejo, simétricas, simétricos, simétrica, invertida, "
        "izquierda y derecha, derecha e izquierda, espejo, espejada, espejadas, espejado, "
        "espejados, simétrico, invertidas, invertidos, invertido, izquierdo y derecho, "
        "derecho e izquierdo, opuestas, opuestos, enfrentada, enfrentado, simetría, "
        "simétricamente",
        "it": "speculari, speculare, a specchio, simmetrici, simmetriche, simmetrico, "
        "destra e sinistra, sinistra e destra, simmetrica, specchiati, specchiate, "
        "specchiato, specchio, destro e sinistro, sinistro e destro, opposti, opposte, "
        "contrapposti, simmetria, specchiatura",
        "pt": "espelhado, espelhada, espelhados, espelhadas, em espelho, simétrico, simétricos, "
        "simétricas, esquerda e direita, direita e esquerda, simétrica, espelho, invertido, "
        "invertida, invertidos, invertidas, esquerdo e direito, direito e esquerdo, opostos, "
        "opostas, rebatido, rebatida, rebatidos, simetria, espelhamento",
        "nl": "gespiegeld, in spiegelbeeld, spiegelbeeld, links en rechts, rechts en links, "
        "gespiegelde, tegengesteld, spiegelbeeldig, in spiegel, linker en rechter, "
        "rechter en linker, spiegeling, symmetrisch",
    },
    "same": {
        "en": "same direction, in the same direction, same way, same way up, do not mirror, "
        "don't mirror, not mirrored, no mirror, do not flip, do not reverse, not reversed, "
        "right side up, right sides up, RS up, RSU, face up, identical, do not turn over, "
        "don't reverse, don't flip, no mirroring, not in mirror image, all alike, "
        "not a pair, not opposites, do not cut mirrored, without mirroring",
        "de": "nicht spiegeln, nicht gespiegelt, nicht gegengleich, gleiche Richtung, "
        "in gleicher Richtung, in die gleiche Richtung, rechte Seite oben, identisch, "
        "nicht wenden, nicht umdrehen, nicht seitenverkehrt, ohne Spiegelung, "
        "nicht spiegelbildlich, gleichgerichtet, nicht spiegelverkehrt, alle gleich",
        "fr": "même sens, dans le même sens, ne pas inverser, sans inverser, sans symétrie, "
        "pas en miroir, endroit dessus, endroit vers le haut, identiques, ne pas retourner, "
        "sans retourner, non symétrique, non symétriques, ne pas mettre en miroir, "
        "pas symétriques, pas symétrique, sans miroir, ne pas couper en miroir, "
        "sans effet miroir",
        "es": "mismo sentido, en el mismo sentido, misma dirección, en la misma dirección, "
        "no espejar, no invertir, sin espejo, derecho arriba, derecho hacia arriba, iguales, "
        "no voltear, sin voltear, sin invertir, no dar la vuelta, sin espejar, no en espejo, "
        "no simétricas, no simétricos, todas iguales, no enfrentadas, no reflejar, "
        "sin reflejar",
        "it": "stesso verso, nello stesso verso, stesso senso, nello stesso senso, non speculari, "
        "non specchiare, dritto verso l'alto, dritto in alto, identici, non a specchio, "
        "non simmetrici, non simmetriche, non girare, non capovolgere, senza specchiare, "
        "tutti uguali, non speculare, non ribaltare, senza ribaltare",
        "pt": "mesmo sentido, no mesmo sentido, mesma direção, na mesma direção, não espelhar, "
        "sem espelhar, não espelhado, direito para cima, iguais, não virar, sem virar, "
        "não inverter, sem inverter, não espelhados, não espelhar a peça, não rebater, "
        "sem rebater, não simétricos, todos iguais, sem espelho, não espelhadas",
        "nl": "niet spiegelen, niet gespiegeld, zelfde richting, in dezelfde richting, "
        "goede kant boven, identiek, niet omkeren, niet omdraaien, niet in spiegelbeeld, "
        "zonder spiegelen, allemaal gelijk, allen gelijk, niet draaien, geen spiegelbeeld",
    },
    "each": {
        "en": "each, of each",
        "de": "je, jeweils",
        "fr": "chaque, chacun, de chaque",
        "es": "cada, de cada",
        "it": "ciascuno, ciascuna, ogni, per ciascuno, per ogni, di ognuno",
        "pt": "cada, de cada",
        "nl": "elk, ieder, iedere, van elk",
    },
    "left": {
        "en": "left, L, left hand",
        "de": "links, linke, linkes, linker",
        "fr": "gauche, gauches, à gauche",
        "es": "izquierda, izquierdo, izq, a la izquierda, izquierdas, izquierdos",
        "it": "sinistra, sinistro, sx, sinistre, sinistri, a sinistra",
        "pt": "esquerda, esquerdo, esq, à esquerda, esquerdas, esquerdos",
        "nl": "links, linker, linkse, linkerkant",
    },
    "right": {
        "en": "right, R, right hand",
        "de": "rechts, rechte, rechtes, rechter",
        "fr": "droite, droit, droites, droits, à droite",
        "es": "derecha, der, derecho, a la derecha, derechas, derechos, dcha, dcho",
        "it": "destra, destro, dx, destre, destri, a destra",
        "pt": "direita, dir, direito, à direita, direitas, direitos",
        "nl": "rechts, rechter, rechtse, rechterkant",
    },
    "double": {
        "en": "double, doubled, on double, doubled fabric, on doubled fabric, double layer, "
        "double fabric",
        "de": "doppelt, doppelter Stoff, im doppelten Stoff, doppelt gelegt, doppellagig, "
        "bei doppelter Stofflage",
        "fr": "en double, double, tissu double, sur tissu double, en tissu double",
        "es": "doble, en doble, tela doble, tela en doble",
        "it": "doppio, in doppio, tessuto doppio, a doppio, in tessuto doppio",
        "pt": "duplo, em duplo, tecido duplo, dobrado, tecido dobrado",
        "nl": "dubbel, in dubbele stof, dubbele stof, stof dubbel, dubbelgevouwen stof",
    },
}
"""How many, and how the copies lie to each other. `double` does not say how many: it is asked."""

FOLDS: Table = {
    "on fold": {
        "en": "on fold*, on the fold*, place on fold line, place on the fold line, against fold, "
        "against the fold, place on fold of fabric, on fold of fabric, "
        "on the fold of the fabric, on folded fabric, on a fold, place to fold, "
        "on the fold of the cloth, on fold of cloth, on fold of the cloth, "
        "on the fold of cloth, on cloth fold, on fabric fold, along fold, at fold, "
        "at the fold, along the fold",
        "de": "im Bruch*, im Stoffbruch*, i. Br.*, in den Bruch, in den Stoffbruch, am Bruch, "
        "am Stoffbruch, an den Bruch, an den Stoffbruch, im Stoffumbruch, zum Stoffbruch, "
        "Stoffbruch*, im Umbruch, auf den Bruch, "
        "auf den Stoffbruch, an Stoffbruch, an Bruch",
        "fr": "au pli*, sur le pli, sur pli, dans le pli*, à la pliure, sur la pliure*, "
        "sur la pliure du tissu, dans la pliure, au pli du tissu, sur le pli du tissu, "
        "pliure du tissu, en pliure, au bord du pli, contre la pliure, sur le pli de tissu, "
        "à la pliure du tissu, au pliure",
        "es": "al doblez*, al lomo*, en doblez, en el doblez, sobre el doblez*, sobre doblez, "
        "sobre el lomo, a doblez, al doblez de la tela, sobre el doblez de la tela, "
        "doblez de la tela, doblez de tela, lomo de la tela, en el lomo, al doblado, "
        "sobre lomo, en doblez de tela, en el doblez de la tela, en lomo, por el doblez",
        "it": "sulla piega, nella piega, sulla ripiegatura, nella ripiegatura*, sulla piegatura*, "
        "sul ripiego, sul ripiegato, sul ripiegato della stoffa, "
        "sul ripiegato del tessuto, alla piega, sulla piega del tessuto, piega del tessuto, "
        "ripiegatura del tessuto, in piega, al ripiego, sulla piega della stoffa, "
        "lungo la piega, sulla piega di tessuto, alla ripiegatura",
        "pt": "na dobra*, na dobra do tecido, à dobra, sobre a dobra, dobra do tecido, "
        "na dobra do pano, sobre a dobra do tecido, em dobra, no dobrado, sobre dobra, "
        "à dobra do tecido",
        "nl": "aan de stofvouw*, tegen de stofvouw, op de stofvouw, aan stofvouw, tegen stofvouw, "
        "op stofvouw, op de vouw, aan de vouw, tegen de vouw, op vouw, stofvouw*, "
        "op de vouw van de stof, aan de vouw van de stof, tegen de vouw van de stof, "
        "langs de vouw, langs de stofvouw, op de vouwlijn van de stof",
    },
    "fold": {
        "en": "fold, fold line, foldline, fold edge, on fold line, on the fold line, "
        "fold of fabric",
        "de": "Bruch, Bruchkante, Bruchlinie, Bruchstelle",
        "fr": "pli, pliure, ligne de pliure, ligne de pli",
        "es": "doblez, línea de doblez, lomo, línea de pliegue",
        "it": "piega, ripiegatura, piegatura, linea di piega",
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
        "iron, turn, turning, baste, edge stitch, crease, match, fold up, fold under, "
        "fold back, fold in, fold over",
        "de": "Saum, Falte, Falten, Abnäher, Umschlag, umbügeln, bügeln, steppen, absteppen, "
        "nähen, umschlagen, umlegen, Kellerfalte, Faltenbruch, Falz, Faltlinie, umfalten",
        "fr": "ourlet, plis, pince, rempli, piquer, surpiquer, coudre, repasser, replier, "
        "rabattre, pli creux, rentrer, fronce, fronces, rempliage, pli plat, revers",
        "es": "dobladillo, pliegue, pinza, coser, pespuntear, planchar, doblar, tabla, tablas, "
        "plisado, plegar",
        "it": "orlo, pince, ripresa, cucire, impunturare, stirare, piegare, risvolto, cannolo, "
        "ripiegare",
        "pt": "bainha, prega, pence, costurar, pespontar, passar, dobrar, vinco, pregas, macho",
        "nl": "zoom, plooi, figuurnaad, stikken, doorstikken, naaien, strijken, omvouwen, vouwen, "
        "plooien, omslaan, inslag",
    },
}
"""`on fold` stands for itself; `fold` only where nothing else in its clause says which fold; with
`another fold` beside it, neither is: it is the fold of a hem or pleat, or a step of sewing."""

TABLES = (ACTIONS, COUNTING, FOLDS)
"""All tables of this module."""
