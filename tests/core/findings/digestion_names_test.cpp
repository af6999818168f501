#include "core/findings/tables/digestion_names.h"

#include <gtest/gtest.h>

namespace aftercurve {
namespace {

Table fractionsById() {
    Table table;
    for (const char* key : {"sample", "fraction", "remark"}) {
        table.columns.emplace_back().key = key;
    }
    Row row;
    row.key = "oat/rapidly_digestible";
    row.cells = {std::string{"oat"}, std::string{"rapidly_digestible"}, std::string{"oat"}};
    table.rows.push_back(row);
    return table;
}

TEST(DigestionNames, StandWhereTheStudyNamesItsSamplesOnly) {
    Study study;
    const Table bare = named(fractionsById(), study, {});
    EXPECT_EQ(std::get<std::string>(bare.rows[0].cells[0]), "oat");
    EXPECT_EQ(std::get<std::string>(bare.rows[0].cells[1]), "rapidly_digestible");
    AssaySample sample;
    sample.id = "oat";
    sample.label = "Oat flakes";
    study.assays.samples = {sample};
    const Table table = named(fractionsById(), study, {});
    EXPECT_EQ(std::get<std::string>(table.rows[0].cells[0]), "Oat flakes");
    EXPECT_EQ(std::get<std::string>(table.rows[0].cells[1]), "Rapidly digestible starch");
    EXPECT_EQ(std::get<std::string>(table.rows[0].cells[2]), "oat") << "a remark is nobody's id";
    EXPECT_EQ(table.rows[0].key, "oat/rapidly_digestible") << "rows keep their keys";
}

}  // namespace
}  // namespace aftercurve
