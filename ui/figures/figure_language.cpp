#include "ui/figures/figure_language.h"

#include <QByteArray>
#include <QHash>
#include <array>

namespace aftercurve {

namespace {

struct Phrase {
    const char* english;
    const char* german;
    const char* swedish;
};

// Written for this program, not proof-read by a native reader.
constexpr std::array phrases{
    // Names of figures.
    Phrase{"Mean curves", "Mittlere Kurven", "Medelkurvor"},
    Phrase{"Curves of each subject", "Kurven jeder Versuchsperson", "Varje deltagares kurvor"},
    Phrase{"What the area counts", "Was die Fläche zählt", "Vad arean räknar"},
    Phrase{"Paired comparison", "Paarvergleich", "Parad jämförelse"},
    Phrase{"Mean differences", "Mittlere Differenzen", "Medeldifferenser"}, Phrase{"Index", "Index", "Index"},
    Phrase{"Difference against mean", "Differenz gegen Mittelwert", "Differens mot medelvärde"},
    Phrase{"Differences at each time", "Differenzen zu jedem Zeitpunkt", "Differenser vid varje tidpunkt"},
    // Analytes.
    Phrase{"Glucose", "Glukose", "Glukos"}, Phrase{"Insulin", "Insulin", "Insulin"},
    Phrase{"C-peptide", "C-Peptid", "C-peptid"}, Phrase{"Triglycerides", "Triglyzeride", "Triglycerider"},
    // Measures.
    Phrase{"Incremental area", "Inkrementelle Fläche", "Inkrementell area"},
    Phrase{"Net incremental area", "Inkrementelle Nettofläche", "Inkrementell nettoarea"},
    Phrase{"Total area", "Gesamtfläche", "Total area"},
    Phrase{"Incremental area until return", "Inkrementelle Fläche bis zur Rückkehr",
           "Inkrementell area till återgång"},
    Phrase{"Area above minimum", "Fläche über dem Minimum", "Area över minimum"},
    Phrase{"Peak", "Höchstwert", "Toppvärde"},
    Phrase{"Peak rise", "Anstieg zum Höchstwert", "Ökning till toppvärdet"},
    Phrase{"Time to peak", "Zeit bis zum Höchstwert", "Tid till toppvärdet"},
    Phrase{"Time to return", "Zeit bis zur Rückkehr", "Tid till återgång"},
    Phrase{"Mean increment", "Mittleres Inkrement", "Medelökning"},
    Phrase{"Time-weighted mean", "Zeitgewichtetes Mittel", "Tidsvägt medelvärde"},
    // Axes.
    Phrase{"Time after first bite (min)", "Zeit nach dem ersten Bissen (min)",
           "Tid efter första tuggan (min)"},
    Phrase{"%1 increment", "%1, Inkrement", "%1, ökning"},
    Phrase{"%1 above lowest value", "%1 über dem niedrigsten Wert", "%1 över lägsta värdet"},
    Phrase{"Difference (%1)", "Differenz (%1)", "Differens (%1)"},
    Phrase{"Difference in %1", "Differenz: %1", "Differens: %1"},
    Phrase{"Glycaemic index", "Glykämischer Index", "Glykemiskt index"},
    Phrase{"Insulinaemic index", "Insulinämischer Index", "Insulinemiskt index"},
    Phrase{"Index of %1", "Index: %1", "Index: %1"},
    Phrase{"Mean difference in %1 of %2", "Mittlere Differenz: %1, %2", "Medeldifferens: %1, %2"},
    Phrase{"%1 from %2", "%1 gegenüber %2", "%1 jämfört med %2"},
    Phrase{"%1; bars: %2 CI", "%1; Balken: %2-KI", "%1; staplar: %2 KI"},
    Phrase{"Mean of the two: %1 of %2", "Mittel der beiden: %1, %2", "Medelvärde av de två: %1, %2"},
    Phrase{"%1 − %2", "%1 − %2", "%1 − %2"},
    // Keys and marks.
    Phrase{"n = %1", "n = %1", "n = %1"}, Phrase{"n = %1–%2", "n = %1–%2", "n = %1–%2"},
    Phrase{"bars: ± SEM", "Balken: ± SEM", "staplar: ± SEM"},
    Phrase{"bars: ± SD", "Balken: ± SD", "staplar: ± SD"},
    Phrase{"bars: %1 CI", "Balken: %1-KI", "staplar: %1 KI"},
    Phrase{"Window 0 to %1 min", "Fenster 0 bis %1 min", "Fönster 0 till %1 min"},
    Phrase{"excluded or not estimable", "ausgeschlossen oder nicht schätzbar", "utesluten eller ej skattbar"},
    Phrase{"further visits: thinner", "weitere Besuche: dünner", "ytterligare besök: tunnare"},
    Phrase{"baseline", "Ausgangswert", "utgångsvärde"},
    Phrase{"lowest value", "niedrigster Wert", "lägsta värde"}, Phrase{"none", "keiner", "inget"},
    Phrase{"reference", "Referenz", "referens"}, Phrase{"low (≤ %1)", "niedrig (≤ %1)", "lågt (≤ %1)"},
    Phrase{"medium (≤ %1)", "mittel (≤ %1)", "medel (≤ %1)"},
    Phrase{"medium (%1–%2)", "mittel (%1–%2)", "medel (%1–%2)"},
    Phrase{"high (> %1)", "hoch (> %1)", "högt (> %1)"},
    Phrase{"no mean", "kein Mittelwert", "inget medelvärde"},
    Phrase{"mean %1, n\u00A0=\u00A0%2", "Mittel %1, n\u00A0=\u00A0%2", "medel %1, n\u00A0=\u00A0%2"},
    Phrase{"Mean", "Mittel", "Medel"}, Phrase{"Mean + 1.96 SD", "Mittel + 1,96 SD", "Medel + 1,96 SD"},
    Phrase{"Mean − 1.96 SD", "Mittel − 1,96 SD", "Medel − 1,96 SD"},
    // Notes.
    Phrase{"%1, visit\u00A0%2", "%1, Besuch\u00A0%2", "%1, besök\u00A0%2"},
    Phrase{"%1, %2, visit %3", "%1, %2, Besuch %3", "%1, %2, besök %3"},
    Phrase{"Subject %1", "Versuchsperson %1", "Deltagare %1"},
    Phrase{" (excluded)", " (ausgeschlossen)", " (utesluten)"},
    Phrase{"%1 %2, n\u00A0=\u00A0%3", "%1 %2, n\u00A0=\u00A0%3", "%1 %2, n\u00A0=\u00A0%3"},
    Phrase{"shaded: %1", "schattiert: %1", "skuggat: %1"},
    Phrase{"marked: %1", "markiert: %1", "markerat: %1"},
    Phrase{", hatched: subtracted", ", schraffiert: abgezogen", ", streckat: draget ifrån"},
    Phrase{"; numbers: mean ± SEM of the subjects' own values",
           "; Zahlen: Mittel ± SEM der Werte der Versuchspersonen",
           "; tal: medel ± SEM av deltagarnas egna värden"},
    Phrase{"Mean difference %1", "Mittlere Differenz %1", "Medeldifferens %1"},
    Phrase{", paired t(%1) = %2, %3", ", gepaartes t(%1) = %2, %3", ", parat t(%1) = %2, %3"},
    Phrase{", adjusted %1 (%2)", ", adjustiert %1 (%2)", ", justerat %1 (%2)"},
    Phrase{"adjusted %1", "adjustiert %1", "justerat %1"},
    Phrase{"; no test: %1", "; kein Test: %1", "; inget test: %1"},
    Phrase{"no test: %1", "kein Test: %1", "inget test: %1"},
    Phrase{"; bars beside the marks: means", "; Striche neben den Zeichen: Mittelwerte",
           "; streck bredvid tecknen: medelvärden"},
    Phrase{" against %1", " gegen %1", " mot %1"}, Phrase{" (%1 to %2)", " (%1 bis %2)", " (%1 till %2)"},
    Phrase{"%1 (%2 CI %3 to %4)", "%1 (%2-KI %3 bis %4)", "%1 (%2 KI %3 till %4)"},
    Phrase{"not estimable", "nicht schätzbar", "ej skattbar"},
    Phrase{"Small marks: subjects; large: mean with %1 CI; reference: %2 = 100",
           "Kleine Zeichen: Versuchspersonen; große: Mittel mit %1-KI; Referenz: %2 = 100",
           "Små tecken: deltagare; stora: medel med %1 KI; referens: %2 = 100"},
    Phrase{"; crosses: left out by the outlier rule", "; Kreuze: nach der Ausreißerregel weggelassen",
           "; kryss: uteslutna enligt avvikarregeln"},
    Phrase{"Marks: subjects, n = %1; bands: %2 CI of the mean and of the limits",
           "Zeichen: Versuchspersonen, n = %1; Bänder: %2-KI des Mittels und der Grenzen",
           "Tecken: deltagare, n = %1; band: %2 KI för medelvärdet och gränserna"},
    Phrase{"; not all can be given: %1", "; nicht alles ist angebbar: %1", "; allt kan inte anges: %1"},
    Phrase{"%1, %2 (%3)", "%1, %2 (%3)", "%1, %2 (%3)"}, Phrase{"%1 (%2)", "%1 (%2)", "%1 (%2)"},
    Phrase{"%1: %2", "%1: %2", "%1: %2"}, Phrase{", %1", ", %1", ", %1"}, Phrase{"%1 %", "%1 %", "%1 %"},
    // Many subjects, laboratory and diary.
    Phrase{"Subjects %1 to %2 of %3 (page %4 of %5)", "Versuchspersonen %1 bis %2 von %3 (Seite %4 von %5)",
           "Deltagare %1 till %2 av %3 (sida %4 av %5)"},
    Phrase{", page %1", ", Seite %1", ", sida %1"},
    Phrase{"Time of digestion (min)", "Zeit des Verdaus (min)", "Nedbrytningstid (min)"},
    Phrase{"Digested starch (% of total starch)", "Verdaute Stärke (% der Gesamtstärke)",
           "Nedbruten stärkelse (% av total stärkelse)"},
    Phrase{"%1, no curve fitted", "%1, keine Kurve angepasst", "%1, ingen kurva anpassad"},
    Phrase{"Starch (%1)", "Stärke (%1)", "Stärkelse (%1)"},
    Phrase{"rapidly digestible (to %1 min)", "schnell verdaulich (bis %1 min)",
           "snabbt nedbrytbar (till %1 min)"},
    Phrase{"slowly digestible (%1 to %2 min)", "langsam verdaulich (%1 bis %2 min)",
           "långsamt nedbrytbar (%1 till %2 min)"},
    Phrase{"resistant (left at %1 min)", "resistent (Rest bei %1 min)", "resistent (kvar vid %1 min)"},
    Phrase{"a part is not known", "ein Teil ist nicht bekannt", "en del är inte känd"},
    Phrase{"numbers: mean ± SD", "Zahlen: Mittel ± SD", "tal: medel ± SD"},
    Phrase{"Fibre in 100 g (g), mean ± SD", "Ballaststoffe in 100 g (g), Mittel ± SD",
           "Fiber i 100 g (g), medel ± SD"},
    Phrase{"Fibre in 100 g of the product (g)", "Ballaststoffe in 100 g des Produkts (g)",
           "Fiber i 100 g av produkten (g)"},
    Phrase{"as it is made", "wie hergestellt", "som den görs"},
    Phrase{"dry matter", "Trockenmasse", "torrsubstans"}, Phrase{"rapidly: %1", "schnell: %1", "snabbt: %1"},
    Phrase{"slowly: %1", "langsam: %1", "långsamt: %1"},
    Phrase{"resistant: %1", "resistent: %1", "resistent: %1"},
    Phrase{"two phases one after the other", "zwei Phasen nacheinander", "två faser efter varandra"},
    Phrase{"The first %1 of %2 symptoms: the figure is too low for all.",
           "Die ersten %1 von %2 Symptomen: die Abbildung ist für alle zu niedrig.",
           "De första %1 av %2 symtom: figuren är för låg för alla."},
    Phrase{"Dose (g per day)", "Dosis (g je Tag)", "Dos (g per dag)"},
    Phrase{"worst score %1", "höchste Bewertung %1", "högsta poäng %1"},
    Phrase{"Subjects by their worst day (%): least score to the left, higher to the right",
           "Versuchspersonen nach ihrem schlechtesten Tag (%): niedrigste Bewertung links, höhere rechts",
           "Deltagare efter sin värsta dag (%): lägsta poäng till vänster, högre till höger"},
    Phrase{"%1, mean of the days", "%1, Mittel der Tage", "%1, medel av dagarna"},
    Phrase{"n = %1 foods", "n = %1 Lebensmittel", "n = %1 livsmedel"},
    // Where there is nothing to see.
    Phrase{"No mean curve: no curve of this analyte counts.",
           "Keine mittlere Kurve: keine Kurve dieses Analyten zählt.",
           "Ingen medelkurva: ingen kurva för denna analyt räknas."},
    Phrase{"No curve with a baseline and a full window.", "Keine Kurve mit Ausgangswert und vollem Fenster.",
           "Ingen kurva med utgångsvärde och fullt fönster."},
    Phrase{"No curve of this analyte.", "Keine Kurve dieses Analyten.", "Ingen kurva för denna analyt."},
    Phrase{"No comparison: no subject has both foods.",
           "Kein Vergleich: keine Versuchsperson hat beide Lebensmittel.",
           "Ingen jämförelse: ingen deltagare har båda livsmedlen."},
    Phrase{"No comparison of this analyte and measure.", "Kein Vergleich für diesen Analyten und dieses Maß.",
           "Ingen jämförelse för denna analyt och detta mått."},
    Phrase{"No index: the plan asks for none, or no subject has a reference.",
           "Kein Index: der Plan verlangt keinen, oder keine Versuchsperson hat eine Referenz.",
           "Inget index: planen begär inget, eller ingen deltagare har en referens."},
    Phrase{"'%1' is no kind of figure that this program knows.",
           "„%1“ ist keine Art von Abbildung, die dieses Programm kennt.",
           "”%1” är inget slags figur som detta program känner till."}};

using Table = QHash<QByteArray, const Phrase*>;

const Table& table() {
    static const Table made = [] {
        Table all;
        for (const Phrase& phrase : phrases) {
            all.insert(QByteArray(phrase.english), &phrase);
        }
        return all;
    }();
    return made;
}

}  // namespace

QString FigureTranslator::translate(const char* /*context*/, const char* sourceText,
                                    const char* /*disambiguation*/, int /*n*/) const {
    const Phrase* phrase = table().value(QByteArray(sourceText), nullptr);
    if (phrase == nullptr || language_ == FigureLanguage::english) {
        return {};
    }
    return QString::fromUtf8(language_ == FigureLanguage::german ? phrase->german : phrase->swedish);
}

const FigureTranslator& figureTranslator(FigureLanguage language) {
    static const FigureTranslator german(FigureLanguage::german);
    static const FigureTranslator swedish(FigureLanguage::swedish);
    static const FigureTranslator english(FigureLanguage::english);
    return language == FigureLanguage::german    ? german
           : language == FigureLanguage::swedish ? swedish
                                                 : english;
}

}  // namespace aftercurve
