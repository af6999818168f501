#include "core/publish/workbook_file.h"

#include <stdlib.h>
#include <xlsxwriter.h>

#include <algorithm>
#include <cerrno>
#include <ctime>
#include <system_error>

#include "core/base/caution.h"
#include "core/publish/archive_bytes.h"
#include "core/publish/clean_text.h"
#include "core/publish/workbook_numbers.h"

namespace aftercurve {

namespace {

namespace fs = std::filesystem;

constexpr lxw_color_t grey = 0x7F7F7F;
constexpr std::size_t longestProperty = 255;  ///< of the library, in characters
constexpr std::time_t firstOf2000 = 946'684'800;

Problem failure(const std::string& what) {
    Problem problem;
    problem.what = "the workbook cannot be made: " + what;
    problem.remedy = "look at the space in the system's temporary folder, or write the tables as CSV";
    return problem;
}

std::string propertyText(std::string_view text) {
    std::string clean = cleanText(text);
    while (lettersIn(clean) > longestProperty) {
        clean.pop_back();
    }
    // The last character may have been cut in the middle.
    return cleanText(clean);
}

void replaceBetween(std::string& text, std::string_view before, std::string_view after,
                    std::string_view words) {
    const std::size_t begin = text.find(before);
    const std::size_t end = begin == std::string::npos ? begin : text.find(after, begin);
    if (end != std::string::npos) {
        text.replace(begin + before.size(), end - begin - before.size(), words);
    }
}

}  // namespace

WorkbookFile::WorkbookFile(fs::path folder)
    : folder_(std::move(folder)), file_((folder_ / "tables.xlsx").string()), temporary_(folder_.string()) {}

WorkbookFile::~WorkbookFile() {
    if (workbook_ != nullptr) {
        lxw_workbook_free(workbook_);
    }
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
}

Result<std::unique_ptr<WorkbookFile>> WorkbookFile::create(const Publication& publication) {
    std::error_code error;
    const fs::path temporary = fs::temp_directory_path(error);
    std::string name = (temporary / "aftercurve-workbook-XXXXXX").string();
    if (error || ::mkdtemp(name.data()) == nullptr) {
        return failure("no temporary folder: " +
                       (error ? error.message() : std::generic_category().message(errno)));
    }
    std::unique_ptr<WorkbookFile> made(new WorkbookFile(name));
    // Row by row to disk: a table of a million rows does not stand in memory cell by cell.
    lxw_workbook_options options = {LXW_TRUE, made->temporary_.data(), LXW_FALSE};
    made->workbook_ = workbook_new_opt(made->file_.c_str(), &options);
    if (made->workbook_ == nullptr) {
        return failure("no memory");
    }
    std::string title = propertyText(publication.title);
    std::string caution = propertyText(cautionText());
    lxw_doc_properties properties = {};
    properties.title = title.data();
    properties.comments = caution.data();
    properties.created = firstOf2000;
    made->keep(workbook_set_properties(made->workbook_, &properties));
    return made;
}

void WorkbookFile::keep(int error) {
    if (error_ == LXW_NO_ERROR) {
        error_ = error;
    }
}

lxw_format* WorkbookFile::formatOf(const SheetStyle& style) {
    if (style == SheetStyle{}) {
        return nullptr;
    }
    const auto found = std::find_if(formats_.begin(), formats_.end(),
                                    [&style](const auto& entry) { return entry.first == style; });
    if (found != formats_.end()) {
        return found->second;
    }
    lxw_format* format = workbook_add_format(workbook_);
    if (format == nullptr) {
        keep(LXW_ERROR_MEMORY_MALLOC_FAILED);
        return nullptr;
    }
    if (!style.format.empty()) {
        format_set_num_format(format, style.format.c_str());
    }
    if (style.bold) {
        format_set_bold(format);
        format_set_bottom(format, LXW_BORDER_THIN);
    }
    if (style.muted) {
        format_set_font_color(format, grey);
    }
    if (style.wrapped) {
        format_set_text_wrap(format);
        format_set_align(format, LXW_ALIGN_VERTICAL_TOP);
    }
    formats_.emplace_back(style, format);
    return format;
}

WorkbookSheet& WorkbookFile::addSheet(const std::string& name) {
    lxw_worksheet* sheet = workbook_add_worksheet(workbook_, name.c_str());
    if (sheet == nullptr) {
        keep(LXW_ERROR_PARAMETER_VALIDATION);
    }
    sheets_.push_back(std::make_unique<WorkbookSheet>(*this, sheet));
    return *sheets_.back();
}

Result<std::string> WorkbookFile::bytes() {
    keep(workbook_close(std::exchange(workbook_, nullptr)));
    if (error_ != LXW_NO_ERROR) {
        return failure(lxw_strerror(static_cast<lxw_error>(error_)));
    }
    auto read = archiveParts(file_);
    if (!read) {
        return read.problem();
    }
    std::vector<ArchivePart> parts = std::move(read).value();
    for (std::size_t s = 0; s < sheets_.size(); ++s) {
        const std::string name = "xl/worksheets/sheet" + std::to_string(s + 1) + ".xml";
        const auto part = std::find_if(parts.begin(), parts.end(),
                                       [&name](const ArchivePart& p) { return p.name == name; });
        auto exact =
            part == parts.end() ? std::nullopt : withLongNumbers(part->bytes, sheets_[s]->longNumbers());
        if (!exact) {
            return failure("a number of sheet " + std::to_string(s + 1) + " is not where it was written");
        }
        part->bytes = std::move(*exact);
    }
    for (ArchivePart& part : parts) {
        if (part.name == "docProps/app.xml") {
            replaceBetween(part.bytes, "<Application>", "</Application>", "Aftercurve");
        }
    }
    return archiveBytes(parts);
}

}  // namespace aftercurve
