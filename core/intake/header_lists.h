#pragma once

#include <array>
#include <string_view>

#include "core/intake/mapping.h"

// The words that header_words.cpp knows, folded as foldedWords does. Common practice, no source.

namespace aftercurve::words {

struct RoleWord {
    ColumnRole role;
    std::string_view list;  ///< divided by '|'
};

inline constexpr std::array roleWords{
    RoleWord{
        ColumnRole::subject,
        "subject|subj|subject id|subjectid|subject no|subject nr|subject code|subject number|participant|"
        "participant id|participant no|volunteer|volunteer id|volunteer code|id|code|sid|pid|person|"
        "proband|probandin|probanden|probanden nr|proband nr|probandennummer|teilnehmer|teilnehmer nr|"
        "versuchsperson|vp|vp nr|sujet|code sujet|sujeto|participante|voluntario|forsoksperson|fp|"
        "forsogsperson|deltagare|deltager|deltaker|testperson|koehenkilo|koehenkilot|dalibnieks|"
        "dalibnieka kods|dalyvis|tiriamasis|dalyvio kodas|uuritav|osaleja|katsealune|kod|kods|kodas|kood"},
    RoleWord{ColumnRole::food,
             "food|foods|food id|food code|test food|testfood|meal|test meal|testmeal|product|treatment|"
             "intervention|lebensmittel|mahlzeit|testmahlzeit|produkt|speise|aliment|repas|produit|alimento|"
             "comida|producto|livsmedel|maltid|testmaltid|fodevare|matvare|mat|ruoka|ateria|tuote|toit|eine|"
             "toode|ediens|partika|produkts|maltite|maistas|produktas"},
    RoleWord{ColumnRole::visit,
             "visit|visit no|visit nr|visit number|session|test day|testday|study day|day|besuch|termin|"
             "testtag|visite|visita|sesion|besok|besog|testdag|kaynti|kerta|visiit|vizite|vizitas"},
    RoleWord{ColumnRole::period,
             "period|study period|periode|periodo|periodi|jakso|periood|periods|perioda|"
             "periodas|leg"},
    RoleWord{
        ColumnRole::date,
        "date|visit date|test date|date of visit|sampling date|datum|testdatum|besuchsdatum|date de visite|"
        "fecha|dato|paivamaara|pvm|kuupaev|datums|data"},
    RoleWord{ColumnRole::time,
             "time|time min|minutes|minute|min|mins|time point|timepoint|t|tmin|actual time|time actual|"
             "real time|time after meal|zeit|zeitpunkt|minuten|istzeit|temps|temps reel|tiempo|tiempo real|"
             "minutos|tid|tidpunkt|tidspunkt|minuter|minutter|faktisk tid|aika|minuutit|aikapiste|aeg|minut|"
             "minutit|laiks|minute s|laikas|minutes s"},
    RoleWord{ColumnRole::nominalTime,
             "nominal time|time nominal|nominal|nominal min|scheduled time|planned time|protocol time|"
             "target time|sollzeit|geplante zeit|temps nominal|temps prevu|tiempo nominal|tiempo previsto|"
             "nominell tid|nominel tid|planerad tid|planlagt tid|nimellisaika|nominaalaeg|nominalais laiks|"
             "nominalus laikas"},
    RoleWord{
        ColumnRole::clockTime,
        "clock|clock time|time of day|sampling time|draw time|time of draw|sample time|uhrzeit|"
        "entnahmezeit|heure|heure de prelevement|hora|hora de extraccion|klockslag|klokkeslett|klokkeslaet|"
        "klokken|kellonaika|kellaaeg|pulkstenis|pulkstena laiks|laikas val"},
    RoleWord{ColumnRole::mealStart,
             "meal start|start of meal|mealstart|meal started|first bite|start of eating|eating start|"
             "meal time|mealtime|mahlzeitbeginn|beginn mahlzeit|essensbeginn|debut du repas|debut repas|"
             "inicio de la comida|inicio comida|maltidsstart|maltidstart|aterian alku|soogi algus|"
             "edienreizes sakums|valgio pradzia"},
    RoleWord{ColumnRole::replicate,
             "replicate|replicate no|rep|duplicate|dup|assay replicate|replikat|"
             "wiederholung|doppelbestimmung|replicat|replica|rinnakkainen|kordus"},
    RoleWord{ColumnRole::dilution,
             "dilution|dilution factor|dil|dil factor|df|verdunnung|verdunnungsfaktor|facteur de dilution|"
             "dilucion|factor de dilucion|spadning|spadningsfaktor|fortynding|fortynning|laimennus|"
             "laimennuskerroin|lahjendus|atskaidijums|skiedimas"},
    RoleWord{
        ColumnRole::remark,
        "remark|remarks|comment|comments|note|notes|bemerkung|bemerkungen|kommentar|anmerkung|remarque|"
        "remarques|commentaire|observaciones|comentario|anmarkning|bemaerkning|merknad|kommentti|huomautus|"
        "markus|markused|piezime|piezimes|pastaba|pastabos"},
    RoleWord{ColumnRole::sequence,
             "sequence|seq|food order|order of foods|randomisation|randomization|sequenz|reihenfolge|ordre|"
             "secuencia|sekvens|jarjestys|jarjekord|seciba|seka"},
    RoleWord{ColumnRole::sex,
             "sex|gender|geschlecht|sexe|sexo|kon|kjonn|koen|sukupuoli|sugu|dzimums|lytis|m f|f m"},
    RoleWord{ColumnRole::age,
             "age|age y|age yr|age yrs|age years|age in years|alter|alter jahre|edad|alder|"
             "ika|vanus|vecums|amzius"},
    RoleWord{ColumnRole::bmi, "bmi|bmi kg m|bmi kg m2|bmi kg m 2|body mass index|kmi|imc|kmi kg m2"},
};

struct AnalyteWord {
    std::string_view analyte;
    std::string_view list;
};

inline constexpr std::array analyteWords{
    AnalyteWord{"glucose",
                "glucose|glc|glu|gluc|g|bg|pg|bz|blood glucose|plasma glucose|blood sugar|glukose|blutzucker|"
                "blutglukose|plasmaglukose|glycemie|glucosa|glucemia|glukos|blodsukker|blodsocker|glukoosi|"
                "verensokeri|glukoos|veresuhkur|glikoze|gliukoze|cukurs"},
    AnalyteWord{"insulin",
                "insulin|ins|i|insuline|insulina|insuliini|insuliin|insulins|insulinas|seruminsulin|"
                "plasma insulin|serum insulin"},
    AnalyteWord{"c-peptide",
                "c peptide|cpeptide|cpep|c pep|c peptid|cpeptid|peptide c|peptido c|c peptidi|"
                "c peptiid|c peptids|c peptidas"},
    AnalyteWord{"triglycerides",
                "triglycerides|triglyceride|tg|tag|trig|trigs|triacylglycerol|"
                "triacylglycerols|triglyzeride|trigliceridos|triglycerider|triglyserider|"
                "triglyseridit|triglutseriidid|trigliceridi|trigliceridai"},
    AnalyteWord{"",
                "value|result|results|conc|concentration|measurement|wert|messwert|ergebnis|konzentration|"
                "valeur|resultat|valor|resultado|varde|verdi|vaerdi|arvo|tulos|vaartus|tulemus|vertiba|"
                "rezultats|verte|rezultatas"},
};

/// Folded unit spellings without blanks, and the unit.
struct UnitWord {
    std::string_view folded;
    std::string_view unit;
};

inline constexpr std::array unitWords{
    UnitWord{"mmoll", "mmol/L"},  UnitWord{"mmoll1", "mmol/L"}, UnitWord{"mgdl", "mg/dL"},
    UnitWord{"mgdl1", "mg/dL"},   UnitWord{"pmoll", "pmol/L"},  UnitWord{"pmoll1", "pmol/L"},
    UnitWord{"nmoll", "nmol/L"},  UnitWord{"nmoll1", "nmol/L"}, UnitWord{"ngml", "ng/mL"},
    UnitWord{"ngml1", "ng/mL"},   UnitWord{"uiuml", "µIU/mL"},  UnitWord{"uuml", "µIU/mL"},
    UnitWord{"mul", "µIU/mL"},    UnitWord{"mul1", "µIU/mL"},   UnitWord{"miul", "µIU/mL"},
    UnitWord{"mciuml", "µIU/mL"}, UnitWord{"mcuml", "µIU/mL"},  UnitWord{"mm", "mmol/L"},
};

inline constexpr std::string_view statisticWords =
    "mean|average|avg|sd|se|sem|sd n 1|std dev|stdev|standard deviation|standard error|n|median|min max|cv|"
    "cv percent|total|sum|mean sd|mittelwert|mw|standardabweichung|moyenne|ecart type|media|desviacion|"
    "medelvarde|middelverdi|gennemsnit|keskiarvo|keskmine|videjais|vidurkis";

inline constexpr std::string_view referenceWords =
    "reference|ref|standard|glucose|dextrose|glucose drink|glucose solution|white bread|referenz|glukose|"
    "reference food|referens|referanse|referenssi|viide|atsauce|etalonas|glukos|glucosa";
inline constexpr std::string_view controlWords =
    "control|ctrl|placebo|water|kontrolle|controle|kontroll|kontrol|kontrolli|kontrole|wasser|eau|agua";

/// Folded; the angle bracket of "<LOQ" folds away.
inline constexpr std::string_view belowLimitWords =
    "n d|nd|n n|nn|bdl|bld|blq|bql|bloq|blod|lod|loq|lloq|below lod|below loq|below limit|below detection|"
    "below detection limit|not detected|not detectable|nicht nachweisbar|low";

}  // namespace aftercurve::words
