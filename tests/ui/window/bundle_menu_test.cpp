// The two entries for bundles in the menu File.
#include <QLineEdit>
#include <QMessageBox>

#include "tests/ui/window/window_fixture.h"
#include "ui/window/make_bundle_dialog.h"
#include "ui/window/verify_bundle_dialog.h"

namespace aftercurve::test {

namespace {

class BundleMenu : public WindowTest {};

}  // namespace

TEST_F(BundleMenu, NeedsAStudyToMakeABundleAndNoneToVerifyOne) {
    EXPECT_FALSE(find<QAction>("action.makeBundle").isEnabled());
    trigger("action.verifyBundle");
    find<VerifyBundleDialog>("verifyBundle").close();
    openSample(QStringLiteral("barley-index"));
    trigger("action.makeBundle");
    auto& dialog = find<MakeBundleDialog>("makeBundle");
    EXPECT_TRUE(
        find<QLineEdit>("makeBundle.path").text().endsWith(QStringLiteral("barley-index-bundle.zip")));
    dialog.close();
}

TEST_F(BundleMenu, AChangedStudyIsToBeSavedFirst) {
    openSample(QStringLiteral("barley-index"));
    Plan plan = window_->session().plan();
    plan.alpha = 0.1;
    window_->session().editPlan(plan, PlanPart::alpha);
    ASSERT_TRUE(window_->session().isModified());
    trigger("action.makeBundle");
    EXPECT_TRUE(find<QMessageBox>("bundleFailure").informativeText().contains(QStringLiteral("Save")));
    find<QMessageBox>("bundleFailure").close();
    EXPECT_EQ(window_->findChild<MakeBundleDialog*>(QStringLiteral("makeBundle")), nullptr);
    waitForResults();
}

}  // namespace aftercurve::test
