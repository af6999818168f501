#include "core/intake/source.h"

#include <cassert>
#include <optional>
#include <utility>

#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/files/sha256.h"
#include "core/intake/dialect_guess.h"
#include "core/intake/source_content.h"
#include "core/intake/text_source.h"

namespace aftercurve {

namespace {

constexpr std::string_view compoundMagic{"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", 8};
constexpr std::string_view zipMagic{"PK\x03\x04", 4};
constexpr std::string_view emptyZipMagic{"PK\x05\x06", 4};

/// Streams of a compound file are named in UTF-16.
bool namesEncryptedPackage(std::string_view bytes) {
    std::string name;
    for (const char c : std::string_view{"EncryptedPackage"}) {
        name += c;
        name += '\0';
    }
    return bytes.find(name) != std::string_view::npos;
}

bool isBlankOrMark(std::string_view bytes) {
    return bytes.empty() || bytes == "\xef\xbb\xbf" || bytes == "\xff\xfe" || bytes == "\xfe\xff";
}

/// Kinds of file that hold no table that is read here.
std::optional<Problem> refusal(std::string_view bytes, std::string_view file) {
    if (isBlankOrMark(bytes)) {
        return problemAt(file, 0, {}, "the file is empty", "choose a file with a table in it");
    }
    if (bytes.starts_with(compoundMagic)) {
        if (namesEncryptedPackage(bytes)) {
            return problemAt(file, 0, {}, "the workbook is protected by a password",
                             "open it, take the password off and save it as .xlsx");
        }
        return problemAt(file, 0, {}, "the file is an old binary workbook (.xls), which is not read",
                         "open it in a spreadsheet and save it as .xlsx or as CSV (UTF-8)");
    }
    if (bytes.starts_with("%PDF")) {
        return problemAt(file, 0, {}, "the file is a PDF, not a table",
                         "ask for the table as .xlsx or as CSV (UTF-8)");
    }
    if (bytes.starts_with("\x1f\x8b")) {
        return problemAt(file, 0, {}, "the file is packed (gzip)", "unpack it and choose the file inside");
    }
    return std::nullopt;
}

Result<Source> finished(std::string file, std::shared_ptr<SourceContent> content,
                        const IntakeLimits& limits) {
    const std::string_view bytes = content->bytes;
    if (auto refused = refusal(bytes, file)) {
        return std::move(*refused);
    }
    Source source;
    source.file = std::move(file);
    source.workbook = bytes.starts_with(zipMagic) || bytes.starts_with(emptyZipMagic);
    if (source.workbook) {
        Result<Workbook> workbook = openWorkbook(bytes, source.file, limits);
        if (!workbook) {
            return workbook.problem();
        }
        content->workbook = std::move(workbook).value();
        for (const WorkbookSheet& sheet : content->workbook->sheets) {
            source.tables.push_back(sheet.table);
        }
    } else {
        source.tables.emplace_back();
    }
    source.sha256 = sha256Hex(bytes);
    source.content = std::move(content);
    return source;
}

}  // namespace

Result<Source> openSource(const std::filesystem::path& path, const IntakeLimits& limits) {
    Result<FileBytes> bytes = readAnywhere(path, limits.fileBytes);
    if (!bytes) {
        return bytes.problem();
    }
    auto content = std::make_shared<SourceContent>();
    content->read = std::move(bytes).value();
    content->bytes = content->read.view();
    return finished(path.filename().string(), std::move(content), limits);
}

Result<Source> sourceFromBytes(std::string file, std::string bytes, const IntakeLimits& limits) {
    if (bytes.size() > limits.fileBytes) {
        return problemAt(file, 0, {},
                         "there are " + megabytes(bytes.size()) + ", more than the " +
                             megabytes(limits.fileBytes) + " that are read",
                         "check that it is the right file, or split it");
    }
    auto content = std::make_shared<SourceContent>();
    content->given = std::move(bytes);
    content->bytes = content->given;
    return finished(std::move(file), std::move(content), limits);
}

TextDialect guessDialect(const Source& source, const IntakeLimits& limits) {
    assert(source.content);
    return source.workbook ? TextDialect{} : guessTextDialect(source.content->bytes, limits);
}

Result<Done> visitRows(const Source& source, std::size_t table, const TextDialect& dialect,
                       const IntakeLimits& limits, const RowVisitor& visitor,
                       const std::function<bool(double)>& progress) {
    assert(source.content && table < source.tables.size());
    const SourceContent& content = *source.content;
    if (content.workbook) {
        return visitSheet(*content.workbook, content.merges, content.bytes, source.file, table, limits,
                          visitor, progress);
    }
    return visitText(content.bytes, source.file, dialect, limits, visitor, progress);
}

}  // namespace aftercurve
