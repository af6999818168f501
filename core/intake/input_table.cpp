#include "core/intake/input_table.h"

#include "core/files/excerpt.h"

namespace aftercurve {

std::string nameOf(const InputTable& table) {
    return table.sheet.empty() ? table.file : table.file + " [" + printable(table.sheet) + "]";
}

}  // namespace aftercurve
