#include "core/findings/json/json_parts.h"

namespace aftercurve {

namespace {

Json lossJson(const FlowLoss& loss) {
    return {{"reason", loss.reason}, {"subjects", loss.subjects}, {"visits", loss.visits}};
}

Json stageJson(const FlowStage& stage) {
    return {{"sequence", textOrNull(stage.sequence)},
            {"period", stage.period > 0 ? Json(stage.period) : Json(nullptr)},
            {"food", stage.food},
            {"subjects", stage.subjects},
            {"absent", stage.absent},
            {"came", stage.came},
            {"analysed", stage.analysed},
            {"losses", arrayOf(stage.losses, lossJson)}};
}

}  // namespace

Json flowJson(const StudyFlow& flow) {
    return {{"subjects", flow.subjects}, {"without_visit", flow.without},
            {"complete", flow.complete}, {"analysed", flow.analysed},
            {"notes", flow.notes},       {"stages", arrayOf(flow.stages, stageJson)}};
}

}  // namespace aftercurve
