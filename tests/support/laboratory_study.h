#pragma once

#include <string>

#include "core/files/study_folder.h"
#include "tests/support/temp_folder.h"

namespace aftercurve::test {

/// A folder with an invented study that has assays, fibre, recipes and a diary. The files have columns, and
/// study.json has keys, that the program does not know ("bench", "room"); cells stand in several forms.
struct LaboratoryFolder {
    TempFolder folder;

    LaboratoryFolder() {
        folder.write("samples.csv",
                     "subject,food,time_min,glucose\n01,drink,0,4.6\n01,crisp,0,4.7\n02,drink,0,5\n");
        folder.write("assays.csv",
                     "sample,run,replicate,time_min,value,sample_mass_mg,blank,bench\n"
                     ",A,1,20,2.10,,yes,3\n"
                     "flour,A,1,20,41.0,500,no,\"left, 2\"\n"
                     "flour,A,2,20,\"41,5\",500,,4\n"
                     "flour,A,3,20,40,0,,4\n"
                     "bread,A,1,20,55.5,498,,4\n");
        folder.write("fibre.csv",
                     "material,method,fraction,replicate,value,basis,moisture_percent,bench\n"
                     "Flour,2009.01,total,1,10.50,as-is,12.0,x\n"
                     "Flour,2009.01,total,2,<0.5,,12.0,y\n");
        folder.write("diary.csv",
                     "subject,food,period,day,ward,bloating,cramps,stool_form\n"
                     "01,crisp,1,1,east,1,0,4\n"
                     "01,crisp,1,2,east,NA,2,+5\n"
                     "02,crisp,2,1,west,3,,7\n");
        folder.write("study.json", R"({
  "format": "aftercurve-study",
  "version": 2,
  "title": "Invented laboratory study",
  "foods": [
    { "id": "drink", "role": "reference" },
    { "id": "crisp", "role": "test" }
  ],
  "analytes": [ { "id": "glucose", "unit": "mmol/L" } ],
  "samples": [ "samples.csv" ],
  "assays": {
    "file": "assays.csv",
    "room": "B2",
    "samples": [
      { "id": "bread", "reference": true, "total_starch_percent": 43.0, "room": "B3" },
      { "id": "flour", "label": "Barley flour", "food": "crisp", "moisture_percent": 12.0, "room": "B4" }
    ]
  },
  "fibre": { "file": "fibre.csv", "region": "eu", "room": "C1" },
  "recipes": [
    { "id": "dough", "food": "crisp", "room": "C2", "serving_g": 30.0, "replace": "flour", "by": "starch", "share": 0.5,
      "parts": [ { "material": "flour", "mass_g": 70.0, "room": "C3" }, { "material": "starch", "fibre_g": 60 } ] },
    { "id": "plain", "parts": [ { "material": "flour", "mass_g": 100 } ] }
  ],
  "diary": {
    "file": "diary.csv",
    "room": "D1",
    "items": [ { "id": "bloating", "room": "D2" }, { "id": "cramps", "label": "Cramps", "most": 4 } ],
    "events": [
      { "subject": "01", "food": "crisp", "day": 2, "what": "headache", "severity": "mild", "room": "D3" },
      { "subject": "09", "what": "fall", "severity": "grave" }
    ]
  },
  "exclusions": [ { "subject": "02", "reason": "late" } ]
}
)");
    }

    StudyReading read() const { return readStudyFolder(folder.path()); }
};

}  // namespace aftercurve::test
