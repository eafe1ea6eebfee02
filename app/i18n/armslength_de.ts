<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE TS>
<TS version="2.1" language="de_DE" sourcelanguage="en">
<context>
    <name>armslength::app::BreakReminder</name>
    <message numerus="yes">
        <source>You have been at it for %n minute(s). Look into the distance, stretch your hands, stand up for a moment. Stop when something hurts.</source>
        <translation>
            <numerusform>Du bist seit %n Minute dabei. Schau in die Ferne, strecke die Hände, steh kurz auf. Hör auf, wenn etwas wehtut.</numerusform>
            <numerusform>Du bist seit %n Minuten dabei. Schau in die Ferne, strecke die Hände, steh kurz auf. Hör auf, wenn etwas wehtut.</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>armslength::app::Canvas</name>
    <message>
        <source>Picture</source>
        <translation>Bild</translation>
    </message>
</context>
<context>
    <name>armslength::app::Commands</name>
    <message>
        <source>%1 is no keys file: the usual keys are used</source>
        <translation>%1 ist keine Tastendatei: es gelten die üblichen Tasten</translation>
    </message>
    <message>
        <source>Unknown commands in the keys file: %1</source>
        <translation>Unbekannte Befehle in der Tastendatei: %1</translation>
    </message>
</context>
<context>
    <name>armslength::app::CritiquePlace</name>
    <message>
        <source>Previous finding</source>
        <translation>Voriger Befund</translation>
    </message>
    <message>
        <source>Next finding</source>
        <translation>Nächster Befund</translation>
    </message>
    <message>
        <source>Show it on the picture</source>
        <translation>Im Bild zeigen</translation>
    </message>
    <message>
        <source>Agree</source>
        <translation>Stimmt</translation>
    </message>
    <message>
        <source>Not so</source>
        <translation>Stimmt nicht</translation>
    </message>
    <message>
        <source>Meant</source>
        <translation>Gewollt</translation>
    </message>
    <message>
        <source>All kinds</source>
        <translation>Alle Arten</translation>
    </message>
    <message>
        <source>Kind of finding</source>
        <translation>Art des Befunds</translation>
    </message>
    <message>
        <source>All stages</source>
        <translation>Alle Stadien</translation>
    </message>
    <message>
        <source>Stage of the piece</source>
        <translation>Stadium der Arbeit</translation>
    </message>
    <message>
        <source>Mend first</source>
        <translation>Zuerst beheben</translation>
    </message>
    <message>
        <source>Your notes beside it</source>
        <translation>Deine Notizen daneben</translation>
    </message>
    <message>
        <source>Three things first: the most gain for the least time. Answer each: you agree, it is not so, or you meant it. What you meant or disagree with leaves the count and stays to be seen; every answer can be undone.</source>
        <translation>Zuerst drei Dinge: der größte Gewinn in der kürzesten Zeit. Beantworte jedes: es stimmt, es stimmt nicht, oder es ist gewollt. Was gewollt ist oder nicht stimmt, wird nicht mehr gezählt und bleibt sichtbar; jede Antwort lässt sich zurücknehmen.</translation>
    </message>
    <message>
        <source>Open a picture first.</source>
        <translation>Öffne zuerst ein Bild.</translation>
    </message>
    <message>
        <source>Measuring…</source>
        <translation>Es wird gemessen …</translation>
    </message>
    <message>
        <source>This was measured before your last change. Measuring again…</source>
        <translation>Vor deiner letzten Änderung gemessen. Es wird neu gemessen …</translation>
    </message>
    <message>
        <source>The figure is measured. Still looking at the picture itself…</source>
        <translation>Die Figur ist vermessen. Das Bild selbst wird noch angesehen …</translation>
    </message>
    <message>
        <source>Nothing to mend was found</source>
        <translation>Nichts zu beheben gefunden</translation>
    </message>
    <message>
        <source>One thing to mend</source>
        <translation>Ein Ding zu beheben</translation>
    </message>
    <message>
        <source>Two things to mend first</source>
        <translation>Zuerst zwei Dinge beheben</translation>
    </message>
    <message>
        <source>Three things to mend first</source>
        <translation>Zuerst drei Dinge beheben</translation>
    </message>
    <message>
        <source>More that is off</source>
        <translation>Weiteres, das nicht stimmt</translation>
    </message>
    <message>
        <source>Mended together with another</source>
        <translation>Wird mit anderem behoben</translation>
    </message>
    <message>
        <source>Observations, a matter of taste</source>
        <translation>Beobachtungen, Geschmackssache</translation>
    </message>
    <message>
        <source>Cannot be told from this view</source>
        <translation>Aus dieser Ansicht nicht zu sagen</translation>
    </message>
    <message>
        <source>You disagree</source>
        <translation>Du widersprichst</translation>
    </message>
    <message>
        <source>You meant it</source>
        <translation>Von dir gewollt</translation>
    </message>
    <message>
        <source>What works</source>
        <translation>Was gelungen ist</translation>
    </message>
    <message>
        <source>Looked at and clear</source>
        <translation>Angesehen und in Ordnung</translation>
    </message>
    <message>
        <source>Take back the answer to “%1”</source>
        <translation>Antwort zu „%1“ zurücknehmen</translation>
    </message>
    <message>
        <source>Agree: “%1”</source>
        <translation>Stimmt: „%1“</translation>
    </message>
    <message>
        <source>Not so: “%1”</source>
        <translation>Stimmt nicht: „%1“</translation>
    </message>
    <message>
        <source>Meant: “%1”</source>
        <translation>Gewollt: „%1“</translation>
    </message>
    <message>
        <source>Link note</source>
        <translation>Notiz verbinden</translation>
    </message>
    <message>
        <source>Unlink note</source>
        <translation>Notiz lösen</translation>
    </message>
    <message>
        <source>Stage of the finding</source>
        <translation>Stadium des Befunds</translation>
    </message>
    <message>
        <source>The piece is at</source>
        <translation>Stand der Arbeit</translation>
    </message>
    <message>
        <source>Stage the piece is at</source>
        <translation>Stadium, in dem die Arbeit ist</translation>
    </message>
    <message>
        <source>What belongs to a later stage is not asked: the lines of a sketch are left alone</source>
        <translation>Was zu einem späteren Stadium gehört, wird nicht gefragt: die Linien einer Skizze bleiben in Ruhe</translation>
    </message>
    <message>
        <source>any stage</source>
        <translation>beliebig</translation>
    </message>
    <message>
        <source>Held back for a later stage: %1</source>
        <translation>Für ein späteres Stadium zurückgehalten: %1</translation>
    </message>
    <message>
        <source>No figure is marked yet, so only the picture itself was looked at. In the Mark place, “Propose all” makes a first guess of the marks.</source>
        <translation>Noch ist keine Figur markiert: nur das Bild selbst wurde angesehen. Unter „Markieren“ setzt „Vorschlagen“ eine erste Vermutung der Marken.</translation>
    </message>
    <message>
        <source>Nothing to mend in the picture itself</source>
        <translation>Am Bild selbst ist nichts zu beheben</translation>
    </message>
    <message>
        <source>Nothing to mend so far</source>
        <translation>Bisher nichts zu beheben</translation>
    </message>
</context>
<context>
    <name>armslength::app::Document</name>
    <message>
        <source>More that is off</source>
        <translation>Weiteres, das nicht stimmt</translation>
    </message>
    <message>
        <source>Mended together with another</source>
        <translation>Wird mit anderem behoben</translation>
    </message>
    <message>
        <source>Cannot be told from this view</source>
        <translation>Aus dieser Ansicht nicht zu sagen</translation>
    </message>
    <message>
        <source>Observations, a matter of taste</source>
        <translation>Beobachtungen, Geschmackssache</translation>
    </message>
    <message>
        <source>You meant it</source>
        <translation>Von dir gewollt</translation>
    </message>
    <message>
        <source>You disagree</source>
        <translation>Du widersprichst</translation>
    </message>
    <message>
        <source>What works</source>
        <translation>Was gelungen ist</translation>
    </message>
    <message>
        <source>Open a picture first.</source>
        <translation>Öffne zuerst ein Bild.</translation>
    </message>
    <message>
        <source>Nothing to mend was found</source>
        <translation>Nichts zu beheben gefunden</translation>
    </message>
    <message>
        <source>To mend first</source>
        <translation>Zuerst zu beheben</translation>
    </message>
    <message>
        <source>Your notes</source>
        <translation>Deine Notizen</translation>
    </message>
</context>
<context>
    <name>armslength::app::FigureChoices</name>
    <message>
        <source>Proportions you declare for this figure</source>
        <translation>Proportionen, die du für diese Figur angibst</translation>
    </message>
    <message>
        <source>The proportions you draw this figure by; without them, lengths are hardly judged</source>
        <translation>Die Proportionen, nach denen du diese Figur zeichnest; ohne sie werden Längen kaum beurteilt</translation>
    </message>
    <message>
        <source>Character whose head this figure is judged against</source>
        <translation>Charakter, an dessen Kopf diese Figur gemessen wird</translation>
    </message>
    <message>
        <source>A head learned from your own drawings of this character; without one, the head&apos;s style is free</source>
        <translation>Ein Kopf, gelernt aus deinen eigenen Zeichnungen dieses Charakters; ohne ihn ist der Stil des Kopfes frei</translation>
    </message>
    <message>
        <source>No proportions declared</source>
        <translation>Keine Proportionen angegeben</translation>
    </message>
    <message>
        <source>No character: free style</source>
        <translation>Kein Charakter: freier Stil</translation>
    </message>
    <message>
        <source>From a canon file...</source>
        <translation>Aus einer Kanondatei …</translation>
    </message>
    <message>
        <source>From a character file...</source>
        <translation>Aus einer Charakterdatei …</translation>
    </message>
    <message>
        <source>Declare proportions</source>
        <translation>Proportionen angeben</translation>
    </message>
    <message>
        <source>Set a first mark: a character belongs to a figure</source>
        <translation>Setze eine erste Marke: ein Charakter gehört zu einer Figur</translation>
    </message>
    <message>
        <source>Choose the character</source>
        <translation>Charakter wählen</translation>
    </message>
    <message>
        <source>Canon of this figure</source>
        <translation>Kanon dieser Figur</translation>
    </message>
    <message>
        <source>Canons (*.canon.json *.json)</source>
        <translation>Kanons (*.canon.json *.json)</translation>
    </message>
    <message>
        <source>Character of this figure</source>
        <translation>Charakter dieser Figur</translation>
    </message>
    <message>
        <source>Characters (*.character.json *.json)</source>
        <translation>Charaktere (*.character.json *.json)</translation>
    </message>
</context>
<context>
    <name>armslength::app::FindingCard</name>
    <message>
        <source>The place on the picture</source>
        <translation>Die Stelle im Bild</translation>
    </message>
    <message>
        <source>To mend: %1. %2</source>
        <translation>Beheben: %1. %2</translation>
    </message>
    <message>
        <source>Mended together with: %1</source>
        <translation>Wird behoben mit: %1</translation>
    </message>
    <message>
        <source>Tolerance: %1</source>
        <translation>Toleranz: %1</translation>
    </message>
    <message>
        <source>Agree</source>
        <translation>Stimmt</translation>
    </message>
    <message>
        <source>Not so</source>
        <translation>Stimmt nicht</translation>
    </message>
    <message>
        <source>Meant</source>
        <translation>Gewollt</translation>
    </message>
    <message>
        <source>You see it too</source>
        <translation>Du siehst es auch</translation>
    </message>
    <message>
        <source>You do not: it is out of the count, and has to be surer next time</source>
        <translation>Du siehst es nicht: es zählt nicht mehr und muss nächstes Mal sicherer sein</translation>
    </message>
    <message>
        <source>You drew it like this on purpose: it stays visible, uncounted</source>
        <translation>Du hast es absichtlich so gezeichnet: es bleibt sichtbar und zählt nicht</translation>
    </message>
    <message>
        <source>%1: %2</source>
        <translation>%1: %2</translation>
    </message>
</context>
<context>
    <name>FindingWords</name>
    <message>
        <source>construction</source>
        <translation>Konstruktion</translation>
    </message>
    <message>
        <source>your canon</source>
        <translation>dein Kanon</translation>
    </message>
    <message>
        <source>craft</source>
        <translation>Handwerk</translation>
    </message>
    <message>
        <source>observation</source>
        <translation>Beobachtung</translation>
    </message>
    <message>
        <source>works</source>
        <translation>gelungen</translation>
    </message>
    <message>
        <source>thumbnail</source>
        <translation>Daumennagelskizze</translation>
    </message>
    <message>
        <source>construction sketch</source>
        <translation>Konstruktionsskizze</translation>
    </message>
    <message>
        <source>clean sketch</source>
        <translation>Reinskizze</translation>
    </message>
    <message>
        <source>line</source>
        <translation>Linie</translation>
    </message>
    <message>
        <source>flats</source>
        <translation>Flächen</translation>
    </message>
    <message>
        <source>shading</source>
        <translation>Schattierung</translation>
    </message>
    <message>
        <source>lighting</source>
        <translation>Licht</translation>
    </message>
    <message>
        <source>finish</source>
        <translation>Fertigstellung</translation>
    </message>
    <message>
        <source>Redraw over a guide</source>
        <translation>Über einer Hilfslinie neu zeichnen</translation>
    </message>
    <message>
        <source>Move, scale or turn the part</source>
        <translation>Das Teil verschieben, skalieren oder drehen</translation>
    </message>
    <message>
        <source>Bend it gently</source>
        <translation>Sanft verbiegen</translation>
    </message>
    <message>
        <source>Repaint</source>
        <translation>Neu malen</translation>
    </message>
    <message>
        <source>Leave the drawing</source>
        <translation>Zeichnung so lassen</translation>
    </message>
    <message>
        <source>not settled by these marks</source>
        <translation>mit diesen Marken nicht zu entscheiden</translation>
    </message>
    <message>
        <source>a close call</source>
        <translation>knapp</translation>
    </message>
    <message>
        <source>fairly sure</source>
        <translation>ziemlich sicher</translation>
    </message>
    <message>
        <source>sure</source>
        <translation>sicher</translation>
    </message>
    <message>
        <source>very sure</source>
        <translation>sehr sicher</translation>
    </message>
    <message>
        <source>under a minute</source>
        <translation>unter einer Minute</translation>
    </message>
    <message>
        <source>about %1 min</source>
        <translation>etwa %1 min</translation>
    </message>
    <message>
        <source>about %1 h</source>
        <translation>etwa %1 h</translation>
    </message>
    <message>
        <source>about %1 h %2 min</source>
        <translation>etwa %1 h %2 min</translation>
    </message>
    <message>
        <source>The smallest that this view would show: %1</source>
        <translation>Das Kleinste, das diese Ansicht zeigen würde: %1</translation>
    </message>
    <message>
        <source>You have disagreed with this once; it needs to be %1 now.</source>
        <translation>Dem hast du einmal widersprochen; es muss jetzt %1 sein.</translation>
    </message>
    <message>
        <source>You have disagreed with this %1 times; it needs to be %2 now.</source>
        <translation>Dem hast du %1-mal widersprochen; es muss jetzt %2 sein.</translation>
    </message>
    <message>
        <source>This view would show only what is grossly off</source>
        <translation>Diese Ansicht zeigte nur, was grob daneben ist</translation>
    </message>
</context>
<context>
    <name>armslength::app::GaugeView</name>
    <message>
        <source>Drawn %1, expected %2</source>
        <translation>Gezeichnet %1, erwartet %2</translation>
    </message>
    <message>
        <source>drawn %1</source>
        <translation>gezeichnet %1</translation>
    </message>
    <message>
        <source>expected %1</source>
        <translation>erwartet %1</translation>
    </message>
</context>
<context>
    <name>armslength::app::Keeper</name>
    <message>
        <source>Journal copied to %1</source>
        <translation>Journal kopiert nach %1</translation>
    </message>
</context>
<context>
    <name>armslength::app::KeysDialog</name>
    <message>
        <source>Keys</source>
        <translation>Tasten</translation>
    </message>
    <message>
        <source>Choose a row and press Enter to give it another key; Delete takes its key away.</source>
        <translation>Wähle eine Zeile und drücke Eingabe, um ihr eine andere Taste zu geben; Entf nimmt die Taste weg.</translation>
    </message>
    <message>
        <source>Commands and keys</source>
        <translation>Befehle und Tasten</translation>
    </message>
    <message>
        <source>Command</source>
        <translation>Befehl</translation>
    </message>
    <message>
        <source>Key</source>
        <translation>Taste</translation>
    </message>
    <message>
        <source>All as at first</source>
        <translation>Alles wie zu Anfang</translation>
    </message>
    <message>
        <source>%1 has no key now</source>
        <translation>%1 hat jetzt keine Taste</translation>
    </message>
</context>
<context>
    <name>armslength::app::LookPlace</name>
    <message>
        <source>Wrong</source>
        <translation>Falsch</translation>
    </message>
    <message>
        <source>Otherwise</source>
        <translation>Anders</translation>
    </message>
    <message>
        <source>Keep</source>
        <translation>Behalten</translation>
    </message>
    <message>
        <source>First</source>
        <translation>Erster</translation>
    </message>
    <message>
        <source>Mirrored</source>
        <translation>Gespiegelt</translation>
    </message>
    <message>
        <source>Checklist</source>
        <translation>Fragen</translation>
    </message>
    <message>
        <source>Look for %1 s</source>
        <translation>%1 s schauen</translation>
    </message>
    <message>
        <source>Write a note</source>
        <translation>Notiz schreiben</translation>
    </message>
    <message>
        <source>It is wrong</source>
        <translation>Es ist falsch</translation>
    </message>
    <message>
        <source>I would like it otherwise: taste</source>
        <translation>Ich hätte es lieber anders: Geschmack</translation>
    </message>
    <message>
        <source>It works: keep it</source>
        <translation>Es ist gelungen: so lassen</translation>
    </message>
    <message>
        <source>What you see unaided</source>
        <translation>Was du ohne Hilfe siehst</translation>
    </message>
    <message>
        <source>What the mirrored picture shows</source>
        <translation>Was das gespiegelte Bild zeigt</translation>
    </message>
    <message>
        <source>What a list of questions brings up</source>
        <translation>Was eine Liste von Fragen zutage bringt</translation>
    </message>
    <message>
        <source>Add note</source>
        <translation>Notieren</translation>
    </message>
    <message>
        <source>Remove note</source>
        <translation>Notiz entfernen</translation>
    </message>
    <message>
        <source>What do you see?</source>
        <translation>Was siehst du?</translation>
    </message>
    <message>
        <source>In your own words, before the program says anything. Click or drag on the picture to pin a note.</source>
        <translation>In deinen Worten, bevor das Programm etwas sagt. Ein Klick oder Zug im Bild heftet die Notiz an.</translation>
    </message>
    <message>
        <source>Does the weight rest over the feet?
Are both eyes on the line the turn asks for?
Would each limb, unbent, be as long as its twin?
Where does the light come from, everywhere?
What is seen first, and should it be?
Do edges touch that should cross or part?</source>
        <translation>Ruht das Gewicht über den Füßen?
Liegen beide Augen auf der Linie, die die Drehung verlangt?
Wäre jedes Glied gestreckt so lang wie sein Zwilling?
Woher kommt das Licht, überall?
Was sieht man zuerst, und soll es so sein?
Berühren sich Kanten, die sich kreuzen oder trennen sollten?</translation>
    </message>
    <message>
        <source>Your note</source>
        <translation>Deine Notiz</translation>
    </message>
    <message>
        <source>One thing per note</source>
        <translation>Ein Ding je Notiz</translation>
    </message>
    <message>
        <source>Your notes</source>
        <translation>Deine Notizen</translation>
    </message>
    <message>
        <source>Finding the chosen note is about</source>
        <translation>Befund, um den es in der Notiz geht</translation>
    </message>
    <message>
        <source>Link note</source>
        <translation>Notiz verbinden</translation>
    </message>
    <message>
        <source>See the picture as if for the first time: each key shows it in another way. Write what you notice first, by yourself; then mirrored; then with the questions. The program&apos;s own findings come after, and the Critique place sets both beside each other.</source>
        <translation>Sieh das Bild wie zum ersten Mal: jede Taste zeigt es anders. Schreib zuerst auf, was dir selbst auffällt; dann gespiegelt; dann mit den Fragen. Die Befunde des Programms kommen danach, und unter Kritik steht beides nebeneinander.</translation>
    </message>
    <message numerus="yes">
        <source>Look: %n second(s)</source>
        <translation>
            <numerusform>Schau: noch %n Sekunde</numerusform>
            <numerusform>Schau: noch %n Sekunden</numerusform>
        </translation>
    </message>
    <message>
        <source>Now write down what stayed.</source>
        <translation>Schreib jetzt auf, was blieb.</translation>
    </message>
    <message>
        <source>About no finding</source>
        <translation>Zu keinem Befund</translation>
    </message>
    <message>
        <source>%1, %2 look</source>
        <translation>%1, Blick: %2</translation>
    </message>
    <message>
        <source>Pinned to a spot</source>
        <translation>An eine Stelle geheftet</translation>
    </message>
    <message>
        <source>Pinned to a region</source>
        <translation>An einen Bereich geheftet</translation>
    </message>
    <message>
        <source>Look without writing, then write what stayed; again to stop</source>
        <translation>Schauen ohne zu schreiben, dann aufschreiben, was blieb; noch einmal beendet es</translation>
    </message>
    <message>
        <source>Rewrite</source>
        <translation>Umschreiben</translation>
    </message>
    <message>
        <source>The chosen note&apos;s words, kind and pin; again to leave it as it was</source>
        <translation>Worte, Art und Stelle der gewählten Notiz; noch einmal lässt sie, wie sie war</translation>
    </message>
    <message>
        <source>The chosen note; undo brings it back</source>
        <translation>Die gewählte Notiz; Rückgängig holt sie wieder</translation>
    </message>
    <message>
        <source>Rewrite note</source>
        <translation>Notiz umschreiben</translation>
    </message>
    <message>
        <source>Save note</source>
        <translation>Sichern</translation>
    </message>
</context>
<context>
    <name>armslength::app::LookViews</name>
    <message>
        <source>Mirrored</source>
        <translation>Gespiegelt</translation>
    </message>
    <message>
        <source>Upside down</source>
        <translation>Kopfüber</translation>
    </message>
    <message>
        <source>Grey</source>
        <translation>Grau</translation>
    </message>
    <message>
        <source>Values: 3</source>
        <translation>Tonwerte: 3</translation>
    </message>
    <message>
        <source>Blurred</source>
        <translation>Unscharf</translation>
    </message>
    <message>
        <source>Small</source>
        <translation>Klein</translation>
    </message>
    <message>
        <source>Silhouette</source>
        <translation>Umriss</translation>
    </message>
    <message>
        <source>Lines</source>
        <translation>Linien</translation>
    </message>
    <message>
        <source>Value groups: 2 to 5</source>
        <translation>Tonwerte: 2 bis 5</translation>
    </message>
    <message>
        <source>Values: %1</source>
        <translation>Tonwerte: %1</translation>
    </message>
    <message>
        <source>Shows the picture in two, three, four or five values</source>
        <translation>Zeigt das Bild in zwei, drei, vier oder fünf Tonwerten</translation>
    </message>
    <message>
        <source>As drawn</source>
        <translation>Wie es ist</translation>
    </message>
    <message>
        <source>Not to be told apart in this picture</source>
        <translation>In diesem Bild nicht zu trennen</translation>
    </message>
    <message>
        <source>Being worked out</source>
        <translation>Wird ermittelt</translation>
    </message>
    <message>
        <source>Left and right exchanged: what leans or sits unevenly shows</source>
        <translation>Links und rechts vertauscht: was kippt oder ungleich sitzt, fällt auf</translation>
    </message>
    <message>
        <source>Shapes instead of the figure you know</source>
        <translation>Formen statt der Figur, die du kennst</translation>
    </message>
    <message>
        <source>Lightness alone, without colour</source>
        <translation>Nur Helligkeit, ohne Farbe</translation>
    </message>
    <message>
        <source>Without detail, as with eyes half shut</source>
        <translation>Ohne Einzelheiten, wie mit halb geschlossenen Augen</translation>
    </message>
    <message>
        <source>As small as a thumbnail: what is read first?</source>
        <translation>Klein wie ein Vorschaubild: was liest man zuerst?</translation>
    </message>
    <message>
        <source>The picture in a few values; %1: how many</source>
        <translation>Das Bild in wenigen Tonwerten; %1: wie viele</translation>
    </message>
    <message>
        <source>The figure as one shape: is the pose read from it?</source>
        <translation>Die Figur als eine Form: liest man die Haltung daraus?</translation>
    </message>
    <message>
        <source>The drawn lines alone</source>
        <translation>Nur die gezeichneten Linien</translation>
    </message>
    <message>
        <source>%1: %2</source>
        <translation>%1: %2</translation>
    </message>
</context>
<context>
    <name>armslength::app::MainWindow</name>
    <message>
        <source>Armslength</source>
        <translation>Armslength</translation>
    </message>
    <message>
        <source>Look</source>
        <translation>Schauen</translation>
    </message>
    <message>
        <source>Mark</source>
        <translation>Markieren</translation>
    </message>
    <message>
        <source>Critique</source>
        <translation>Kritik</translation>
    </message>
    <message>
        <source>%1 %</source>
        <translation>%1 %</translation>
    </message>
    <message>
        <source>Opening %1</source>
        <translation>%1 wird geöffnet</translation>
    </message>
    <message>
        <source>%1 - Armslength</source>
        <translation>%1 - Armslength</translation>
    </message>
    <message>
        <source>Saved elsewhere: this is the new state, marks kept</source>
        <translation>Anderswo gespeichert: dies ist der neue Stand, Marken behalten</translation>
    </message>
    <message>
        <source>%1 x %2 px, %3</source>
        <translation>%1 x %2 px, %3</translation>
    </message>
    <message>
        <source>Marks read from %1</source>
        <translation>Marken aus %1 gelesen</translation>
    </message>
    <message>
        <source>%1 belongs to a picture of another size; use it with &quot;Copy marks&quot;</source>
        <translation>%1 gehört zu einem Bild anderer Größe; nutze „Marken holen“</translation>
    </message>
    <message>
        <source>Open a picture</source>
        <translation>Bild öffnen</translation>
    </message>
    <message>
        <source>Try the demo</source>
        <translation>Das Beispiel ansehen</translation>
    </message>
    <message>
        <source>New window</source>
        <translation>Neues Fenster</translation>
    </message>
    <message>
        <source>Save the marks file</source>
        <translation>Markendatei speichern</translation>
    </message>
    <message>
        <source>Critique as PDF...</source>
        <translation>Kritik als PDF …</translation>
    </message>
    <message>
        <source>Copy the journal...</source>
        <translation>Journal kopieren …</translation>
    </message>
    <message>
        <source>Copy the journal to</source>
        <translation>Journal kopieren nach</translation>
    </message>
    <message>
        <source>Undo</source>
        <translation>Rückgängig</translation>
    </message>
    <message>
        <source>Redo</source>
        <translation>Wiederholen</translation>
    </message>
    <message>
        <source>Fit the picture</source>
        <translation>Ganzes Bild</translation>
    </message>
    <message>
        <source>Smaller</source>
        <translation>Kleiner</translation>
    </message>
    <message>
        <source>Larger</source>
        <translation>Größer</translation>
    </message>
    <message>
        <source>Turn left</source>
        <translation>Nach links drehen</translation>
    </message>
    <message>
        <source>Turn right</source>
        <translation>Nach rechts drehen</translation>
    </message>
    <message>
        <source>Picture alone, on and off</source>
        <translation>Nur das Bild, an und aus</translation>
    </message>
    <message>
        <source>To the picture</source>
        <translation>Zum Bild</translation>
    </message>
    <message>
        <source>Light or dark</source>
        <translation>Hell oder dunkel</translation>
    </message>
    <message>
        <source>Keys...</source>
        <translation>Tasten …</translation>
    </message>
    <message>
        <source>Settings...</source>
        <translation>Einstellungen …</translation>
    </message>
    <message>
        <source>Help</source>
        <translation>Hilfe</translation>
    </message>
    <message>
        <source>Menu</source>
        <translation>Menü</translation>
    </message>
    <message>
        <source>Close</source>
        <translation>Schließen</translation>
    </message>
    <message>
        <source>Pictures (*.png *.jpg *.jpeg *.webp *.tif *.tiff *.ora);;All files (*)</source>
        <translation>Bilder (*.png *.jpg *.jpeg *.webp *.tif *.tiff *.ora);;Alle Dateien (*)</translation>
    </message>
    <message>
        <source>Drawing the demo</source>
        <translation>Das Beispiel wird gezeichnet</translation>
    </message>
    <message>
        <source>Marks saved as %1</source>
        <translation>Marken gespeichert als %1</translation>
    </message>
    <message>
        <source>There is no critique yet: go to the Critique place first</source>
        <translation>Es gibt noch keine Kritik: geh zuerst zu Kritik</translation>
    </message>
    <message>
        <source>The critique is being measured anew; try again in a moment</source>
        <translation>Die Kritik wird neu gemessen; versuch es gleich noch einmal</translation>
    </message>
    <message>
        <source>Critique as PDF</source>
        <translation>Kritik als PDF</translation>
    </message>
    <message>
        <source>PDF (*.pdf)</source>
        <translation>PDF (*.pdf)</translation>
    </message>
    <message>
        <source>Written: %1</source>
        <translation>Geschrieben: %1</translation>
    </message>
    <message>
        <source>%1 is no matrix profile of a screen: colours are shown as sRGB</source>
        <translation>%1 ist kein Matrixprofil eines Bildschirms: Farben werden als sRGB gezeigt</translation>
    </message>
    <message>
        <source>Print the critique...</source>
        <translation>Kritik drucken …</translation>
    </message>
    <message>
        <source>The printer took nothing</source>
        <translation>Der Drucker hat nichts angenommen</translation>
    </message>
    <message>
        <source>Print the critique</source>
        <translation>Kritik drucken</translation>
    </message>
    <message>
        <source>Printed</source>
        <translation>Gedruckt</translation>
    </message>
    <message>
        <source>Marks carried to the saved state</source>
        <translation>Marken in den gespeicherten Stand übernommen</translation>
    </message>
    <message>
        <source>Saved elsewhere: %1 marks went with the drawing, %2 are to be confirmed</source>
        <translation>Woanders gespeichert: %1 Marken gingen mit der Zeichnung, %2 sind zu bestätigen</translation>
    </message>
    <message>
        <source>Your pieces</source>
        <translation>Deine Arbeiten</translation>
    </message>
    <message>
        <source>Nothing to undo</source>
        <translation>Nichts rückgängig zu machen</translation>
    </message>
    <message>
        <source>Nothing to redo</source>
        <translation>Nichts zu wiederholen</translation>
    </message>
    <message>
        <source>Undone: %1</source>
        <translation>Rückgängig gemacht: %1</translation>
    </message>
    <message>
        <source>Done again: %1</source>
        <translation>Wiederholt: %1</translation>
    </message>
    <message>
        <source>Nothing was saved: %1 is not this picture&apos;s marks and could not be renamed</source>
        <translation>Nichts wurde gespeichert: %1 gehört nicht zu diesem Bild und ließ sich nicht umbenennen</translation>
    </message>
    <message>
        <source>Marks saved as %1; what lay there is now %2</source>
        <translation>Marken gespeichert als %1; was dort lag, heißt jetzt %2</translation>
    </message>
    <message>
        <source>turned %1°</source>
        <translation>um %1° gedreht</translation>
    </message>
    <message>
        <source>Once more: upright again</source>
        <translation>Noch einmal: wieder gerade</translation>
    </message>
    <message>
        <source>Notes, marks and findings are shown again</source>
        <translation>Notizen, Marken und Befunde sind wieder zu sehen</translation>
    </message>
    <message>
        <source>The picture alone; %1 or another place brings notes, marks and findings back</source>
        <translation>Nur das Bild; %1 oder ein anderer Ort holt Notizen, Marken und Befunde zurück</translation>
    </message>
    <message>
        <source>There are no marks to save yet</source>
        <translation>Noch gibt es keine Marken zu speichern</translation>
    </message>
</context>
<context>
    <name>armslength::app::MarkLayer</name>
    <message>
        <source>Set %1</source>
        <translation>%1 setzen</translation>
    </message>
    <message>
        <source>Clear %1</source>
        <translation>%1 entfernen</translation>
    </message>
    <message>
        <source>Accept %1</source>
        <translation>%1 annehmen</translation>
    </message>
    <message>
        <source>Accept all proposed</source>
        <translation>Alle Vorschläge annehmen</translation>
    </message>
    <message>
        <source>Depth of the %1</source>
        <translation>Tiefe: %1</translation>
    </message>
    <message>
        <source>Swap left and right</source>
        <translation>Links und rechts tauschen</translation>
    </message>
</context>
<context>
    <name>armslength::app::MarkPlace</name>
    <message>
        <source>Body</source>
        <translation>Körper</translation>
    </message>
    <message>
        <source>Head</source>
        <translation>Kopf</translation>
    </message>
    <message>
        <source>Rings</source>
        <translation>Ringe</translation>
    </message>
    <message>
        <source>Areas</source>
        <translation>Bereiche</translation>
    </message>
    <message>
        <source>Accept</source>
        <translation>Annehmen</translation>
    </message>
    <message>
        <source>Take the proposed place; without one, put the point in the middle of the view</source>
        <translation>Die vorgeschlagene Stelle nehmen; ohne Vorschlag den Punkt in die Mitte der Ansicht setzen</translation>
    </message>
    <message>
        <source>Accept all</source>
        <translation>Alle annehmen</translation>
    </message>
    <message>
        <source>Put every proposed point; look at each before you trust it</source>
        <translation>Alle vorgeschlagenen Punkte setzen; sieh jeden an, bevor du ihm traust</translation>
    </message>
    <message>
        <source>Skip</source>
        <translation>Weiter</translation>
    </message>
    <message>
        <source>Cannot be seen: ask for the next one</source>
        <translation>Nicht zu sehen: den nächsten</translation>
    </message>
    <message>
        <source>Back</source>
        <translation>Voriger</translation>
    </message>
    <message>
        <source>Ask for the one before</source>
        <translation>Den davor</translation>
    </message>
    <message>
        <source>Clear</source>
        <translation>Entfernen</translation>
    </message>
    <message>
        <source>Take the chosen mark away</source>
        <translation>Die gewählte Marke wegnehmen</translation>
    </message>
    <message>
        <source>Clear (also)</source>
        <translation>Entfernen (auch)</translation>
    </message>
    <message>
        <source>Toward</source>
        <translation>Her</translation>
    </message>
    <message>
        <source>Flat</source>
        <translation>Flach</translation>
    </message>
    <message>
        <source>Away</source>
        <translation>Weg</translation>
    </message>
    <message>
        <source>Swap left, right</source>
        <translation>Seiten tauschen</translation>
    </message>
    <message>
        <source>Left and right are the figure&apos;s own</source>
        <translation>Links und rechts sind die der Figur</translation>
    </message>
    <message>
        <source>Swap from here</source>
        <translation>Ab hier tauschen</translation>
    </message>
    <message>
        <source>The chosen mark of an arm or leg and what hangs on it, with the other side</source>
        <translation>Die gewählte Marke eines Arms oder Beins und was daran hängt, mit der anderen Seite</translation>
    </message>
    <message>
        <source>Snap to lines</source>
        <translation>Einrasten</translation>
    </message>
    <message>
        <source>To the middle of a line, or an edge; hold Alt to set one mark without</source>
        <translation>In die Mitte einer Linie oder an eine Kante; mit Alt eine Marke ohne Einrasten setzen</translation>
    </message>
    <message>
        <source>Solved figure</source>
        <translation>Gelöste Figur</translation>
    </message>
    <message>
        <source>Finish</source>
        <translation>Fertig</translation>
    </message>
    <message>
        <source>More points are needed: three for an arc or an area, six for a whole ring</source>
        <translation>Es fehlen Punkte: drei für einen Bogen oder Bereich, sechs für einen ganzen Ring</translation>
    </message>
    <message>
        <source>Take back</source>
        <translation>Zurück</translation>
    </message>
    <message>
        <source>Six or more points, ended by Finish, instead of an arc of three</source>
        <translation>Sechs oder mehr Punkte, beendet mit Fertig, statt eines Bogens aus dreien</translation>
    </message>
    <message>
        <source>Next figure</source>
        <translation>Nächste Figur</translation>
    </message>
    <message>
        <source>From the marks file of an earlier version of this picture</source>
        <translation>Aus der Markendatei einer früheren Fassung dieses Bildes</translation>
    </message>
    <message>
        <source>Set the</source>
        <translation>Setze</translation>
    </message>
    <message>
        <source>Points</source>
        <translation>Punkte</translation>
    </message>
    <message>
        <source>Part</source>
        <translation>Teil</translation>
    </message>
    <message>
        <source>Kind of area</source>
        <translation>Art des Bereichs</translation>
    </message>
    <message>
        <source>Rings and areas</source>
        <translation>Ringe und Bereiche</translation>
    </message>
    <message>
        <source>Figure</source>
        <translation>Figur</translation>
    </message>
    <message>
        <source>Click where the named point lies on the drawing, or press Skip when it cannot be seen. After five points the solved figure proposes the others: accept, drag or clear each. For a limb that comes toward you or goes away, choose its end and press the key. Arrow keys move the chosen mark by a pixel, with Shift by ten.</source>
        <translation>Klicke, wo der genannte Punkt in der Zeichnung liegt, oder drücke Weiter, wenn er nicht zu sehen ist. Nach fünf Punkten schlägt die gelöste Figur die übrigen vor: nimm jeden an, zieh ihn oder entferne ihn. Für ein Glied, das auf dich zukommt oder zurückweicht, wähle sein Ende und drücke die Taste. Pfeiltasten bewegen die gewählte Marke um ein Pixel, mit Umschalt um zehn.</translation>
    </message>
    <message>
        <source>On no limb in particular</source>
        <translation>Auf keinem bestimmten Glied</translation>
    </message>
    <message>
        <source>Round the %1</source>
        <translation>Um: %1</translation>
    </message>
    <message>
        <source>On the %1</source>
        <translation>Auf: %1</translation>
    </message>
    <message>
        <source>Choose the mark at the end of a limb first: elbow, wrist, fingertips, knee, ankle or toe</source>
        <translation>Wähle zuerst die Marke am Ende eines Gliedes: Ellbogen, Handgelenk, Fingerspitzen, Knie, Knöchel oder Zehe</translation>
    </message>
    <message>
        <source>Marks of an earlier version</source>
        <translation>Marken einer früheren Fassung</translation>
    </message>
    <message>
        <source>Marks (*.marks.json)</source>
        <translation>Marken (*.marks.json)</translation>
    </message>
    <message>
        <source>Marks copied from %1</source>
        <translation>Marken aus %1 kopiert</translation>
    </message>
    <message>
        <source>Open a picture first</source>
        <translation>Öffne zuerst ein Bild</translation>
    </message>
    <message>
        <source>Copy marks</source>
        <translation>Marken kopieren</translation>
    </message>
    <message>
        <source>First figure</source>
        <translation>Erste Figur</translation>
    </message>
    <message>
        <source>Add a figure</source>
        <translation>Figur hinzufügen</translation>
    </message>
    <message>
        <source>All points are set</source>
        <translation>Alle Punkte sind gesetzt</translation>
    </message>
    <message>
        <source>%1 of %2 points</source>
        <translation>%1 von %2 Punkten</translation>
    </message>
    <message numerus="yes">
        <source>, %n still to be looked at</source>
        <translation>
            <numerusform>, %n noch anzusehen</numerusform>
            <numerusform>, %n noch anzusehen</numerusform>
        </translation>
    </message>
    <message>
        <source> (toward)</source>
        <translation> (her)</translation>
    </message>
    <message>
        <source> (away)</source>
        <translation> (weg)</translation>
    </message>
    <message>
        <source> (flat)</source>
        <translation> (flach)</translation>
    </message>
    <message>
        <source>The %1 comes toward you, lies flat, or goes away</source>
        <translation>%1: kommt her, liegt flach oder weicht zurück</translation>
    </message>
    <message>
        <source>Depth: choose the end of a limb</source>
        <translation>Tiefe: wähle das Ende eines Gliedes</translation>
    </message>
    <message>
        <source>A collar, cuff, belt or hem as drawn: click one end, the middle of the bow, the other end.</source>
        <translation>Kragen, Manschette, Gürtel oder Saum, wie gezeichnet: klicke ein Ende, die Mitte des Bogens, das andere Ende.</translation>
    </message>
    <message>
        <source>Click round the region, then Finish, or click the first corner again.</source>
        <translation>Klicke um den Bereich herum, dann Fertig, oder klicke wieder auf die erste Ecke.</translation>
    </message>
    <message numerus="yes">
        <source>%n point(s) so far</source>
        <translation>
            <numerusform>%n Punkt bisher</numerusform>
            <numerusform>%n Punkte bisher</numerusform>
        </translation>
    </message>
    <message>
        <source>%1, round the %2</source>
        <translation>%1, um: %2</translation>
    </message>
    <message>
        <source>%1, on the %2</source>
        <translation>%1, auf: %2</translation>
    </message>
    <message>
        <source>Whole</source>
        <translation>Ganz</translation>
    </message>
    <message>
        <source>Copy marks...</source>
        <translation>Marken holen …</translation>
    </message>
    <message>
        <source>Propose all</source>
        <translation>Vorschlagen</translation>
    </message>
    <message>
        <source>A first guess of every mark, for you to accept, drag or clear; points you set stay</source>
        <translation>Ein erster Versuch für jede Marke, zum Annehmen, Ziehen oder Entfernen; von dir gesetzte Punkte bleiben</translation>
    </message>
    <message>
        <source>Looking for figures</source>
        <translation>Figuren werden gesucht</translation>
    </message>
    <message>
        <source>No drawn figure was found; set the marks yourself</source>
        <translation>Keine gezeichnete Figur gefunden; setze die Marken selbst</translation>
    </message>
    <message>
        <source>Propose marks</source>
        <translation>Marken vorschlagen</translation>
    </message>
    <message>
        <source>A first guess. Left and right may be the other way round: Swap exchanges all, Swap from here a limb from the chosen mark on</source>
        <translation>Ein erster Versuch. Links und rechts könnten vertauscht sein: Seiten tauschen wechselt alle, Ab hier tauschen ein Glied von der gewählten Marke an</translation>
    </message>
    <message>
        <source>A first guess: accept, drag or clear each mark</source>
        <translation>Ein erster Versuch: nimm jede Marke an, zieh oder entferne sie</translation>
    </message>
    <message>
        <source>Look at each proposal</source>
        <translation>Sieh jeden Vorschlag an</translation>
    </message>
    <message>
        <source>Is it right?</source>
        <translation>Stimmt das?</translation>
    </message>
    <message>
        <source>All that can be seen is set</source>
        <translation>Alles Sichtbare ist gesetzt</translation>
    </message>
    <message>
        <source>The limb that ends here comes toward you; again to leave it open</source>
        <translation>Das Glied, das hier endet, kommt auf dich zu; noch einmal lässt es offen</translation>
    </message>
    <message>
        <source>The limb that ends here lies flat in the picture; again to leave it open</source>
        <translation>Das Glied, das hier endet, liegt flach im Bild; noch einmal lässt es offen</translation>
    </message>
    <message>
        <source>The limb that ends here goes away from you; again to leave it open</source>
        <translation>Das Glied, das hier endet, geht von dir weg; noch einmal lässt es offen</translation>
    </message>
</context>
<context>
    <name>armslength::app::MessageLine</name>
    <message>
        <source>Message</source>
        <translation>Meldung</translation>
    </message>
    <message>
        <source>Press to put it away</source>
        <translation>Zum Weglegen darauf drücken</translation>
    </message>
</context>
<context>
    <name>armslength::app::NotesBesideView</name>
    <message>
        <source>%1; finding: %2</source>
        <translation>%1; Befund: %2</translation>
    </message>
    <message>
        <source>You wrote no notes before. Look first, note what you see, and then compare: that is how the eye learns.</source>
        <translation>Du hast vorher nichts notiert. Schau zuerst, notiere, was du siehst, und vergleiche dann: so lernt das Auge.</translation>
    </message>
    <message>
        <source>Both saw</source>
        <translation>Beide sahen</translation>
    </message>
    <message>
        <source>Unlink</source>
        <translation>Lösen</translation>
    </message>
    <message>
        <source>Take back that this note is about that finding</source>
        <translation>Zurücknehmen, dass es in der Notiz um diesen Befund geht</translation>
    </message>
    <message>
        <source>Only you saw</source>
        <translation>Nur du sahst</translation>
    </message>
    <message>
        <source>Link</source>
        <translation>Verbinden</translation>
    </message>
    <message>
        <source>This note is about the finding in front: %1</source>
        <translation>In dieser Notiz geht es um den vorderen Befund: %1</translation>
    </message>
    <message>
        <source>The finding it was about is gone</source>
        <translation>Der Befund dazu ist verschwunden</translation>
    </message>
    <message>
        <source>Only the program saw</source>
        <translation>Nur das Programm sah</translation>
    </message>
</context>
<context>
    <name>armslength::app::OutlineLayer</name>
    <message>
        <source>Draw a ring</source>
        <translation>Ring zeichnen</translation>
    </message>
    <message>
        <source>Outline an area</source>
        <translation>Bereich umreißen</translation>
    </message>
    <message>
        <source>Remove</source>
        <translation>Entfernen</translation>
    </message>
    <message>
        <source>Move a point</source>
        <translation>Punkt verschieben</translation>
    </message>
    <message>
        <source>Take a point out</source>
        <translation>Punkt herausnehmen</translation>
    </message>
    <message>
        <source>Put a point in</source>
        <translation>Punkt einsetzen</translation>
    </message>
</context>
<context>
    <name>armslength::app::SettingsDialog</name>
    <message>
        <source>Settings</source>
        <translation>Einstellungen</translation>
    </message>
    <message>
        <source>&amp;Light or dark</source>
        <translation>&amp;Hell oder dunkel</translation>
    </message>
    <message>
        <source>As the desktop</source>
        <translation>Wie die Arbeitsfläche</translation>
    </message>
    <message>
        <source>Light</source>
        <translation>Hell</translation>
    </message>
    <message>
        <source>Dark</source>
        <translation>Dunkel</translation>
    </message>
    <message>
        <source>Si&amp;ze of everything</source>
        <translation>&amp;Größe von allem</translation>
    </message>
    <message>
        <source>%1 %</source>
        <translation>%1 %</translation>
    </message>
    <message>
        <source>Lan&amp;guage</source>
        <translation>&amp;Sprache</translation>
    </message>
    <message>
        <source>Panel on the right, for a pen in the left hand</source>
        <translation>Leiste rechts, für den Stift in der linken Hand</translation>
    </message>
    <message>
        <source>never</source>
        <translation>nie</translation>
    </message>
    <message>
        <source> min</source>
        <translation> min</translation>
    </message>
    <message>
        <source>Ask for a &amp;break after</source>
        <translation>An eine &amp;Pause erinnern nach</translation>
    </message>
    <message>
        <source>none: sRGB</source>
        <translation>keines: sRGB</translation>
    </message>
    <message>
        <source>Choose...</source>
        <translation>Wählen …</translation>
    </message>
    <message>
        <source>Screen &amp;profile (ICC)</source>
        <translation>Bildschirmp&amp;rofil (ICC)</translation>
    </message>
    <message>
        <source>Screen profile</source>
        <translation>Bildschirmprofil</translation>
    </message>
    <message>
        <source>Profiles (*.icc *.icm)</source>
        <translation>Profile (*.icc *.icm)</translation>
    </message>
    <message>
        <source>Journal</source>
        <translation>Journal</translation>
    </message>
    <message>
        <source>The size is used from the next start on. Another language makes the windows anew when you close this: your work stays, undo begins anew.</source>
        <translation>Die Größe gilt vom nächsten Start an. Eine andere Sprache baut die Fenster neu auf, wenn du dies schließt: deine Arbeit bleibt, das Rückgängigmachen beginnt von vorn.</translation>
    </message>
</context>
<context>
    <name>armslength::app::SideViews</name>
    <message>
        <source>Upright</source>
        <translation>Aufrecht</translation>
    </message>
    <message>
        <source>Body turned</source>
        <translation>Körper gedreht</translation>
    </message>
    <message>
        <source>Head turned</source>
        <translation>Kopf gedreht</translation>
    </message>
</context>
<context>
    <name>armslength::app::SolidView</name>
    <message>
        <source>The body behind the drawing, from any side</source>
        <translation>Der Körper hinter der Zeichnung, von allen Seiten</translation>
    </message>
    <message>
        <source>The head behind the drawing, from any side</source>
        <translation>Der Kopf hinter der Zeichnung, von allen Seiten</translation>
    </message>
    <message>
        <source>No body was read yet: set five marks of the body.</source>
        <translation>Noch kein Körper gelesen: setze fünf Marken am Körper.</translation>
    </message>
    <message>
        <source>No head was read yet: set six marks of the face.</source>
        <translation>Noch kein Kopf gelesen: setze sechs Marken im Gesicht.</translation>
    </message>
    <message>
        <source>As the picture shows it. Arrow keys turn it.</source>
        <translation>Wie das Bild es zeigt. Pfeiltasten drehen.</translation>
    </message>
    <message>
        <source>Turned by %1 and tipped by %2 degrees. Home brings the picture&apos;s view back.</source>
        <translation>Um %1 Grad gedreht und um %2 Grad gekippt. Pos1 bringt die Ansicht des Bildes zurück.</translation>
    </message>
    <message>
        <source>From before your last change</source>
        <translation>Von vor deiner letzten Änderung</translation>
    </message>
    <message>
        <source>As the picture shows it</source>
        <translation>Wie das Bild es zeigt</translation>
    </message>
    <message>
        <source>Turned %1°, tipped %2°</source>
        <translation>%1° gedreht, %2° gekippt</translation>
    </message>
</context>
<context>
    <name>armslength::app::StandingView</name>
    <message>
        <source>The drawn body standing beside its canon</source>
        <translation>Der gezeichnete Körper, aufrecht neben seinem Kanon</translation>
    </message>
    <message>
        <source>No body was read yet: set five marks of the body.</source>
        <translation>Noch kein Körper gelesen: setze fünf Marken am Körper.</translation>
    </message>
    <message>
        <source>%1: %2 heads</source>
        <translation>%1: %2 Köpfe</translation>
    </message>
    <message>
        <source>No part departs from the canon by more than can be told.</source>
        <translation>Kein Teil weicht erkennbar vom Kanon ab.</translation>
    </message>
    <message>
        <source>From before your last change. </source>
        <translation>Von vor deiner letzten Änderung. </translation>
    </message>
    <message>
        <source>no head count from one view</source>
        <translation>aus einer Ansicht keine Kopfzahl</translation>
    </message>
    <message>
        <source>%1 heads</source>
        <translation>%1 Köpfe</translation>
    </message>
    <message>
        <source> (%1–%2)</source>
        <translation> (%1–%2)</translation>
    </message>
    <message>
        <source>as drawn</source>
        <translation>wie gezeichnet</translation>
    </message>
    <message>
        <source>your canon</source>
        <translation>dein Kanon</translation>
    </message>
    <message>
        <source>canon, assumed</source>
        <translation>Kanon, angenommen</translation>
    </message>
</context>
<context>
    <name>armslength::app::StartPage</name>
    <message>
        <source>PNG, JPEG, WebP, TIFF or OpenRaster, at full size. Your file is only ever read; save it in your own program and it is shown anew here.</source>
        <translation>PNG, JPEG, WebP, TIFF oder OpenRaster, in voller Größe. Deine Datei wird immer nur gelesen; speichere sie in deinem eigenen Programm, und sie erscheint hier neu.</translation>
    </message>
    <message>
        <source>Your pieces</source>
        <translation>Deine Arbeiten</translation>
    </message>
    <message>
        <source>Drop a picture here</source>
        <translation>Leg ein Bild hier ab</translation>
    </message>
    <message>
        <source>Everything you mark and write is kept on this computer, in %1</source>
        <translation>Was du markierst und schreibst, bleibt auf diesem Rechner, in %1</translation>
    </message>
    <message>
        <source>Open %1</source>
        <translation>%1 öffnen</translation>
    </message>
</context>
<context>
    <name>areas</name>
    <message>
        <source>folds</source>
        <translation>Falten</translation>
    </message>
    <message>
        <source>pattern</source>
        <translation>Muster</translation>
    </message>
    <message>
        <source>focus</source>
        <translation>Blickpunkt</translation>
    </message>
    <message>
        <source>shadow</source>
        <translation>Schatten</translation>
    </message>
    <message>
        <source>light</source>
        <translation>Licht</translation>
    </message>
    <message>
        <source>hair</source>
        <translation>Haar</translation>
    </message>
    <message>
        <source>skin</source>
        <translation>Haut</translation>
    </message>
    <message>
        <source>material</source>
        <translation>Material</translation>
    </message>
    <message>
        <source>part</source>
        <translation>Teil</translation>
    </message>
    <message>
        <source>figure</source>
        <translation>Figur</translation>
    </message>
</context>
<context>
    <name>names</name>
    <message>
        <source>crown</source>
        <translation>Scheitel</translation>
    </message>
    <message>
        <source>chin</source>
        <translation>Kinn</translation>
    </message>
    <message>
        <source>pit of the neck</source>
        <translation>Halsgrube</translation>
    </message>
    <message>
        <source>left shoulder</source>
        <translation>linke Schulter</translation>
    </message>
    <message>
        <source>right shoulder</source>
        <translation>rechte Schulter</translation>
    </message>
    <message>
        <source>left elbow</source>
        <translation>linker Ellbogen</translation>
    </message>
    <message>
        <source>right elbow</source>
        <translation>rechter Ellbogen</translation>
    </message>
    <message>
        <source>left wrist</source>
        <translation>linkes Handgelenk</translation>
    </message>
    <message>
        <source>right wrist</source>
        <translation>rechtes Handgelenk</translation>
    </message>
    <message>
        <source>left fingertips</source>
        <translation>linke Fingerspitzen</translation>
    </message>
    <message>
        <source>right fingertips</source>
        <translation>rechte Fingerspitzen</translation>
    </message>
    <message>
        <source>left hip</source>
        <translation>linke Hüfte</translation>
    </message>
    <message>
        <source>right hip</source>
        <translation>rechte Hüfte</translation>
    </message>
    <message>
        <source>left knee</source>
        <translation>linkes Knie</translation>
    </message>
    <message>
        <source>right knee</source>
        <translation>rechtes Knie</translation>
    </message>
    <message>
        <source>left ankle</source>
        <translation>linker Knöchel</translation>
    </message>
    <message>
        <source>right ankle</source>
        <translation>rechter Knöchel</translation>
    </message>
    <message>
        <source>left toe</source>
        <translation>linke Zehe</translation>
    </message>
    <message>
        <source>right toe</source>
        <translation>rechte Zehe</translation>
    </message>
    <message>
        <source>left jaw corner</source>
        <translation>linker Kieferwinkel</translation>
    </message>
    <message>
        <source>right jaw corner</source>
        <translation>rechter Kieferwinkel</translation>
    </message>
    <message>
        <source>left face edge</source>
        <translation>linker Gesichtsrand</translation>
    </message>
    <message>
        <source>right face edge</source>
        <translation>rechter Gesichtsrand</translation>
    </message>
    <message>
        <source>inner corner of the left eye</source>
        <translation>linkes Auge, innerer Winkel</translation>
    </message>
    <message>
        <source>outer corner of the left eye</source>
        <translation>linkes Auge, äußerer Winkel</translation>
    </message>
    <message>
        <source>top of the left eye</source>
        <translation>linkes Auge, oben</translation>
    </message>
    <message>
        <source>bottom of the left eye</source>
        <translation>linkes Auge, unten</translation>
    </message>
    <message>
        <source>inner corner of the right eye</source>
        <translation>rechtes Auge, innerer Winkel</translation>
    </message>
    <message>
        <source>outer corner of the right eye</source>
        <translation>rechtes Auge, äußerer Winkel</translation>
    </message>
    <message>
        <source>top of the right eye</source>
        <translation>rechtes Auge, oben</translation>
    </message>
    <message>
        <source>bottom of the right eye</source>
        <translation>rechtes Auge, unten</translation>
    </message>
    <message>
        <source>peak of the left brow</source>
        <translation>linke Braue, höchster Punkt</translation>
    </message>
    <message>
        <source>peak of the right brow</source>
        <translation>rechte Braue, höchster Punkt</translation>
    </message>
    <message>
        <source>base of the nose</source>
        <translation>Nasenbasis</translation>
    </message>
    <message>
        <source>left mouth corner</source>
        <translation>linker Mundwinkel</translation>
    </message>
    <message>
        <source>right mouth corner</source>
        <translation>rechter Mundwinkel</translation>
    </message>
    <message>
        <source>middle of the mouth</source>
        <translation>Mundmitte</translation>
    </message>
    <message>
        <source>hairline</source>
        <translation>Haaransatz</translation>
    </message>
    <message>
        <source>tip of the nose</source>
        <translation>Nasenspitze</translation>
    </message>
    <message>
        <source>top of the left ear</source>
        <translation>linkes Ohr, oben</translation>
    </message>
    <message>
        <source>bottom of the left ear</source>
        <translation>linkes Ohr, unten</translation>
    </message>
    <message>
        <source>top of the right ear</source>
        <translation>rechtes Ohr, oben</translation>
    </message>
    <message>
        <source>bottom of the right ear</source>
        <translation>rechtes Ohr, unten</translation>
    </message>
    <message>
        <source>top of the skull under the hair</source>
        <translation>Schädeldach unter dem Haar</translation>
    </message>
    <message>
        <source>left heel</source>
        <translation>linke Ferse</translation>
    </message>
    <message>
        <source>right heel</source>
        <translation>rechte Ferse</translation>
    </message>
    <message>
        <source>navel</source>
        <translation>Nabel</translation>
    </message>
    <message>
        <source>crotch</source>
        <translation>Schritt</translation>
    </message>
    <message>
        <source>head</source>
        <translation>Kopf</translation>
    </message>
    <message>
        <source>neck</source>
        <translation>Hals</translation>
    </message>
    <message>
        <source>trunk</source>
        <translation>Rumpf</translation>
    </message>
    <message>
        <source>shoulders</source>
        <translation>Schultern</translation>
    </message>
    <message>
        <source>hips</source>
        <translation>Hüften</translation>
    </message>
    <message>
        <source>left upper arm</source>
        <translation>linker Oberarm</translation>
    </message>
    <message>
        <source>right upper arm</source>
        <translation>rechter Oberarm</translation>
    </message>
    <message>
        <source>left forearm</source>
        <translation>linker Unterarm</translation>
    </message>
    <message>
        <source>right forearm</source>
        <translation>rechter Unterarm</translation>
    </message>
    <message>
        <source>left hand</source>
        <translation>linke Hand</translation>
    </message>
    <message>
        <source>right hand</source>
        <translation>rechte Hand</translation>
    </message>
    <message>
        <source>left thigh</source>
        <translation>linker Oberschenkel</translation>
    </message>
    <message>
        <source>right thigh</source>
        <translation>rechter Oberschenkel</translation>
    </message>
    <message>
        <source>left shin</source>
        <translation>linker Unterschenkel</translation>
    </message>
    <message>
        <source>right shin</source>
        <translation>rechter Unterschenkel</translation>
    </message>
    <message>
        <source>left foot</source>
        <translation>linker Fuß</translation>
    </message>
    <message>
        <source>right foot</source>
        <translation>rechter Fuß</translation>
    </message>
</context>
</TS>
