#include "core/intake/workbook.h"

#include <algorithm>
#include <optional>
#include <utility>

#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/intake/workbook_archive.h"
#include "core/intake/workbook_dom.h"
#include "core/intake/workbook_styles.h"

namespace aftercurve {

namespace {

/// The parts that are parsed whole are short.
constexpr std::size_t wholePartBytes = std::size_t{8} << 20;

constexpr const char* saveAsXlsx = "open it in a spreadsheet and save the table as .xlsx or as CSV (UTF-8)";

struct Relationship {
    std::string id;
    std::string type;  ///< behind the last slash of its name: "worksheet"
    std::string part;
};

/// A short part with the text that its nodes stand in.
struct ParsedPart {
    std::vector<char> text;
    std::unique_ptr<pugi::xml_document> document = std::make_unique<pugi::xml_document>();
};

Result<ParsedPart> parsedPart(const WorkbookArchive& archive, const std::string& part, std::string_view file,
                              const IntakeLimits& limits) {
    Result<PartStream> opened = archive.stream(part);
    if (!opened) {
        return opened.problem();
    }
    PartStream stream = std::move(opened).value();
    XmlBounds bounds = xmlBounds(limits);
    bounds.pieceBytes = wholePartBytes;
    const std::string where = "the part " + quote(part);
    XmlPieces pieces{stream, {1, {{"", ""}}}, bounds, std::string{file}, where};
    const auto piece = pieces.next();
    if (pieces.problem()) {
        return *pieces.problem();
    }
    ParsedPart parsed;
    parsed.text.assign(piece.begin(), piece.end());
    if (parsed.text.empty() || !parsePiece(*parsed.document, parsed.text)) {
        return damagedWorkbook(file, where + " is not well-formed XML");
    }
    return parsed;
}

/// Relationships of a part in `folder`; those to things outside the archive are left out.
Result<std::vector<Relationship>> relationships(const WorkbookArchive& archive, const std::string& part,
                                                std::string_view folder, std::string_view file,
                                                const IntakeLimits& limits) {
    Result<ParsedPart> parsed = parsedPart(archive, part, file, limits);
    if (!parsed) {
        return parsed.problem();
    }
    const ParsedPart xml = std::move(parsed).value();
    std::vector<Relationship> found;
    for (const pugi::xml_node node : xml.document->first_child()) {
        if (!isNamed(node.name(), "Relationship") ||
            std::string_view{attributeNamed(node, "TargetMode").value()} == "External") {
            continue;
        }
        const std::string_view type = attributeNamed(node, "Type").value();
        const std::string_view target = attributeNamed(node, "Target").value();
        const auto name = partName(folder, target);
        if (!name) {
            return damagedWorkbook(file, "the part " + quote(part) + " names " + quote(target) +
                                             ", which lies outside the workbook");
        }
        found.push_back(
            {attributeNamed(node, "Id").value(), std::string{type.substr(type.rfind('/') + 1)}, *name});
    }
    return found;
}

std::optional<std::string> partOfType(const std::vector<Relationship>& all, std::string_view type) {
    const auto found =
        std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.type == type; });
    return found == all.end() ? std::nullopt : std::optional{found->part};
}

std::string folderOf(std::string_view part) {
    const std::size_t slash = part.rfind('/');
    return std::string{slash == std::string_view::npos ? std::string_view{} : part.substr(0, slash)};
}

std::string relationshipsOf(std::string_view part) {
    const std::string folder = folderOf(part);
    const std::string_view name = folder.empty() ? part : part.substr(folder.size() + 1);
    return (folder.empty() ? "" : folder + "/") + "_rels/" + std::string{name} + ".rels";
}

/// Other documents that are zip archives too.
std::optional<Problem> otherDocument(const WorkbookArchive& archive, std::string_view file) {
    if (archive.has("mimetype") && archive.has("content.xml")) {
        return problemAt(file, 0, {}, "the file is an OpenDocument file (.ods), which is not read",
                         saveAsXlsx);
    }
    if (archive.has("xl/workbook.bin")) {
        return problemAt(file, 0, {}, "the file is a binary workbook (.xlsb), which is not read", saveAsXlsx);
    }
    if (!archive.has("_rels/.rels")) {
        return problemAt(file, 0, {}, "the file is a zip archive, but no workbook",
                         "unpack it and choose the table inside, as .xlsx or as CSV");
    }
    return std::nullopt;
}

/// The sheets of cells that the workbook lists.
Result<std::vector<WorkbookSheet>> sheetsOf(pugi::xml_node root, const std::vector<Relationship>& related,
                                            std::string_view file, const IntakeLimits& limits) {
    std::vector<WorkbookSheet> sheets;
    for (const pugi::xml_node node : childNamed(root, "sheets")) {
        if (!isNamed(node.name(), "sheet")) {
            continue;
        }
        const std::string_view id = attributeNamed(node, "id").value();
        const std::string_view name = attributeNamed(node, "name").value();
        const auto target =
            std::find_if(related.begin(), related.end(), [&](const auto& one) { return one.id == id; });
        if (target == related.end()) {
            return damagedWorkbook(file, "the sheet " + quote(name) + " is listed, but not in the workbook");
        }
        if (target->type != "worksheet") {
            continue;
        }
        if (sheets.size() == limits.sheets) {
            return problemAt(
                file, 0, {},
                "the workbook has more than the " + std::to_string(limits.sheets) + " sheets that are read",
                "save the sheets that the study needs in a workbook of their own");
        }
        const std::string_view state = attributeNamed(node, "state").value();
        const bool hidden = state == "hidden" || state == "veryHidden";
        sheets.push_back({{std::string{name}, hidden}, target->part});
    }
    if (sheets.empty()) {
        return damagedWorkbook(file, "the workbook has no sheet of cells");
    }
    return sheets;
}

}  // namespace

MergeCache::Regions MergeCache::find(std::size_t sheet) const {
    const std::lock_guard lock{mutex_};
    const auto found = regions_.find(sheet);
    return found == regions_.end() ? nullptr : found->second;
}

void MergeCache::keep(std::size_t sheet, Regions regions) {
    const std::lock_guard lock{mutex_};
    regions_[sheet] = std::move(regions);
}

XmlBounds xmlBounds(const IntakeLimits& limits) {
    // XML takes a few times what the same row takes as text.
    return {limits.xmlDepth, 4 * limits.lineBytes};
}

Result<Workbook> openWorkbook(std::string_view bytes, std::string_view file, const IntakeLimits& limits) {
    Result<WorkbookArchive> opened = WorkbookArchive::open(bytes, file, limits);
    if (!opened) {
        return opened.problem();
    }
    const WorkbookArchive archive = std::move(opened).value();
    if (auto other = otherDocument(archive, file)) {
        return std::move(*other);
    }
    const auto roots = relationships(archive, "_rels/.rels", "", file, limits);
    if (!roots) {
        return roots.problem();
    }
    const auto main = partOfType(roots.value(), "officeDocument");
    if (!main) {
        return damagedWorkbook(file, "the archive does not say which of its parts is the workbook");
    }
    Result<ParsedPart> parsed = parsedPart(archive, *main, file, limits);
    if (!parsed) {
        return parsed.problem();
    }
    const ParsedPart book = std::move(parsed).value();
    const pugi::xml_node root = book.document->first_child();
    if (!isNamed(root.name(), "workbook")) {
        return problemAt(file, 0, {}, "the file is an office document, but no workbook",
                         "choose the table, saved as .xlsx or as CSV (UTF-8)");
    }
    const auto related = relationships(archive, relationshipsOf(*main), folderOf(*main), file, limits);
    if (!related) {
        return related.problem();
    }
    auto sheets = sheetsOf(root, related.value(), file, limits);
    if (!sheets) {
        return sheets.problem();
    }
    Workbook workbook;
    workbook.sheets = std::move(sheets).value();
    workbook.context.date1904 = attributeNamed(childNamed(root, "workbookPr"), "date1904").as_bool();
    if (const auto part = partOfType(related.value(), "styles")) {
        auto styles = readStyles(archive, *part, file, xmlBounds(limits));
        if (!styles) {
            return styles.problem();
        }
        workbook.context.styles = std::move(styles).value();
    }
    if (const auto part = partOfType(related.value(), "sharedStrings")) {
        auto strings = SharedStrings::read(archive, *part, file, xmlBounds(limits));
        if (!strings) {
            return strings.problem();
        }
        workbook.context.strings = std::move(strings).value();
    }
    return workbook;
}

}  // namespace aftercurve
