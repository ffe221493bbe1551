# SPDX-License-Identifier: GPL-2.0-or-later
"""The words for grain, nap, stretch and seam allowance: tables like those of `vocabulary`."""

from __future__ import annotations

from extension.labels.vocabulary import Table

GRAINS: Table = {
    "straight": {
        "en": "grain line*, grain*, straight grain*, straight of grain*, lengthwise grain*, "
        "on grain, on the straight, on the straight grain, on the straight of grain, S.G., "
        "S.O.G., straight of goods, straight grain line, parallel to selvedge, "
        "parallel to selvage",
        "de": "Fadenlauf*, im Fadenlauf, im geraden Fadenlauf, gerader Fadenlauf, FL, "
        "fadengerade*, parallel zur Webkante, fadengerader Zuschnitt, fadenlauf gerade",
        "fr": "droit fil*, droit de fil, DF, en droit fil, dans le droit fil, sens du tissu, "
        "fil droit, parallèle à la lisière",
        "es": "hilo*, recto hilo, al hilo, sentido del hilo, hilo de la tela, al hilo de la tela, "
        "rectohilo, paralelo al orillo, hilo recto, a hilo",
        "it": "dritto filo*, diritto filo*, in dritto filo, in drittofilo, DF, filo dritto, "
        "parallelo alla cimosa, a drittofilo",
        "pt": "fio*, fio reto, sentido do fio, no fio, fio do tecido, ao fio, direção do fio, "
        "paralelo à ourela, no fio reto, fio direito",
        "nl": "draadrichting, rechte draad, recht van draad, draadlijn, rechtdraads, "
        "evenwijdig aan de zelfkant, op draad, recht op draad",
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
        "bias grain line, on a bias",
        "de": "schräger Fadenlauf*, im schrägen Fadenlauf*, schrägen Fadenlauf, "
        "im Schrägfadenlauf, Schrägfadenlauf, diagonal zum Fadenlauf, schräg zum Fadenlauf, "
        "schräg, im Schrägschnitt, Schrägschnitt, diagonal",
        "fr": "biais*, plein biais*, dans le biais, en biais, de biais, dans le plein biais, "
        "au biais, en plein biais",
        "es": "al bies, bies, al sesgo, sesgo, en bies, en sesgo, en diagonal",
        "it": "in sbieco, sbieco, di sbieco, in diagonale, per sbieco",
        "pt": "no viés, viés, em viés, enviesado, no enviesado, de viés, em diagonal, ao viés",
        "nl": "schuin van draad, biais, schuine draad, schuindraads, schuin, op de schuine draad, "
        "diagonaal",
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
        "direction of pile, N/O/W, one way fabric, with direction, directional print, napped",
        "de": "Strichrichtung, mit Strich, mit dem Strich, Strich, Musterrichtung, Florrichtung, "
        "Laufrichtung, Strichrichtung beachten, auf Strich achten, Musterrichtung beachten, "
        "Strich beachten",
        "fr": "sens du poil, avec sens, avec poil, sens du motif, sens unique, respecter le sens, "
        "sens du velours, tissu avec sens",
        "es": "con pelo, sentido del pelo, dirección del pelo, pelo, dibujo con pie*, "
        "una dirección, tejido con pelo, con dirección, respetar el sentido",
        "it": "verso del pelo, senso del pelo, con verso, verso del disegno, tessuto con verso, "
        "rispettare il verso",
        "pt": "pé da estampa*, sentido do pelo, com pé, com sentido, estampa com pé, "
        "tecido com pelo, com pelo, respeitar o sentido",
        "nl": "vleug, vleugrichting, looprichting, met vleug, patroonrichting, let op vleug, "
        "vleug aanhouden, met looprichting",
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
        "seam and hem allowances, seams, turnings",
        "de": "Nahtzugabe*, Nahtzugaben*, NZG*, NZ, Naht und Saumzugabe, Naht und Saumzugaben, "
        "Nahtzugabe von",
        "fr": "valeur de couture*, valeurs de couture*, valeurs de coutures, marge de couture*, "
        "marges de couture*, marges de coutures, rentré de couture, rentrés de couture, "
        "couture, coutures, marges, marge",
        "es": "margen de costura*, márgenes de costura, margen de costuras, margen, costuras, "
        "costura, margen para costura, margen de la costura, márgenes",
        "it": "margine di cucitura*, margini di cucitura, margine cucitura, margini cucitura, "
        "cuciture, margine di cuciture, margine per cucitura, margini per cucitura, margini, "
        "margine",
        "pt": "margem de costura, margens de costura, margem, costuras, valor de costura, "
        "margem para costura, margens",
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
        "zugegeben werden, anzuschneiden, addieren",
        "fr": "ajouter, ajoutez, plus, à ajouter, rajouter",
        "es": "añadir, añade, agregar, sumar, más, agrega, aumentar",
        "it": "aggiungere, aggiungete, più, da aggiungere",
        "pt": "acrescentar, adicionar, somar, mais, acrescente, adicione, aumentar",
        "nl": "toevoegen, bijtekenen, plus, extra, aanknippen, aan te knippen, bijknippen",
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

TABLES = (GRAINS, CLOTH, ALLOWANCES)
"""All tables of this module."""
