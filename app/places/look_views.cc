#include "app/places/look_views.h"

#include <algorithm>
#include <string_view>

#include <QAction>

#include "app/window/commands.h"

namespace armslength::app {
namespace {

const QString kGroup = QStringLiteral("look");
constexpr int kSmallLongSide = 160;  // widget px, a thumbnail's size
constexpr int kBlurHalvings = 3;

QImage ImageOf(const PictureReport& report, const char* id) {
  const auto view = std::ranges::find(report.views, id, &FreshEyeView::id);
  if (view == report.views.end() || view->image.width <= 0) return {};
  const ImageRgba8& i = view->image;
  return QImage(i.pixels.data(), i.width, i.height, static_cast<qsizetype>(i.width) * 4, QImage::Format_RGBA8888)
      .convertToFormat(QImage::Format_ARGB32_Premultiplied);
}

}  // namespace

LookViews::LookViews(Canvas& canvas, Commands& commands, QObject* parent) : QObject(parent), canvas_(canvas) {
  const auto add = [&](const char* id, const QString& text, const char* key) {
    QAction* action = commands.AddToggle(QLatin1String(id), kGroup, text, QKeySequence(QLatin1String(key)), [](bool) {});
    connect(action, &QAction::toggled, this, [this, action] { Apply(action); });
    actions_.push_back(action);
    return action;
  };
  mirrored_ = add("look.mirrored", tr("Mirrored"), "Q");
  upside_ = add("look.upside_down", tr("Upside down"), "W");
  grey_ = add("look.grey", tr("Grey"), "E");
  mirrored_->setStatusTip(tr("Left and right exchanged: what leans or sits unevenly shows"));
  upside_->setStatusTip(tr("Shapes instead of the figure you know"));
  grey_->setStatusTip(tr("Lightness alone, without colour"));
  groups_ = add("look.groups", tr("Values: 3"), "R");
  blurred_ = add("look.blurred", tr("Blurred"), "A");
  blurred_->setStatusTip(tr("Without detail, as with eyes half shut"));
  small_ = add("look.small", tr("Small"), "S");
  small_->setStatusTip(tr("As small as a thumbnail: what is read first?"));
  silhouette_ = add("look.silhouette", tr("Silhouette"), "D");
  lines_ = add("look.lines", tr("Lines"), "F");
  auto* more = commands.Add(QStringLiteral("look.group_count"), kGroup, tr("Value groups: 2 to 5"),
                            QKeySequence(QStringLiteral("T")), [this] {
                              group_count_ = group_count_ == 5 ? 2 : group_count_ + 1;
                              groups_->setText(tr("Values: %1").arg(group_count_));
                              groups_->setChecked(true);
                              Apply(groups_);
                            });
  more->setStatusTip(tr("Shows the picture in two, three, four or five values"));
  const auto tell = [this, more] {
    groups_->setStatusTip(tr("The picture in a few values; %1: how many")
                              .arg(more->shortcut().isEmpty() ? more->text() : more->shortcut().toString(QKeySequence::NativeText)));
  };
  tell();
  connect(&commands, &Commands::KeysChanged, this, tell);
  commands.Add(QStringLiteral("look.plain"), kGroup, tr("As drawn"), QKeySequence(QStringLiteral("G")), [this] { Reset(); });
  SetReport(nullptr);
}

bool LookViews::Mirrored() const { return mirrored_->isChecked(); }

void LookViews::SetReport(std::shared_ptr<const PictureReport> report) {
  report_ = std::move(report);
  for (auto [action, id] : {std::pair{silhouette_, "silhouette"}, std::pair{lines_, "line_only"}}) {
    const bool there = report_ && std::ranges::find(report_->views, id, &FreshEyeView::id) != report_->views.end();
    action->setVisible(true);
    action->setStatusTip(there     ? id == std::string_view("silhouette") ? tr("The figure as one shape: is the pose read from it?")
                                                                          : tr("The drawn lines alone")
                             : report_ ? tr("Not to be told apart in this picture")
                                   : tr("Being worked out"));
    action->setProperty("there", there);
    if (!there) action->setChecked(false);
  }
  Apply(nullptr);
}

void LookViews::Reset() {
  for (QAction* a : actions_) a->setChecked(false);
}

void LookViews::Apply(QAction* changed) {
  if (applying_) return;
  applying_ = true;
  // Grey, values, silhouette and lines are four answers to one question.
  QAction* const one_of[] = {grey_, groups_, silhouette_, lines_};
  if (changed && changed->isChecked() && std::ranges::find(one_of, changed) != std::end(one_of))
    for (QAction* other : one_of)
      if (other != changed) other->setChecked(false);
  for (QAction* a : {silhouette_, lines_})
    if (a->isChecked() && !a->property("there").toBool()) {
      a->setChecked(false);
      emit Message(tr("%1: %2").arg(a->text(), a->statusTip()));
    }
  canvas_.SetMirrored(mirrored_->isChecked());
  canvas_.SetUpsideDown(upside_->isChecked());
  canvas_.SetBlur(blurred_->isChecked() ? kBlurHalvings : 0);
  canvas_.SetSmall(small_->isChecked() ? kSmallLongSide : 0);
  GroupThresholds groups;
  groups.count = group_count_;
  for (int i = 0; i + 1 < group_count_; ++i) groups.at_l[i] = 100.0 * (i + 1) / group_count_;
  if (report_) {
    const auto& found = report_->value.groups[static_cast<std::size_t>(group_count_ - 2)].thresholds_l;
    for (std::size_t i = 0; i < found.size() && i < 4; ++i) groups.at_l[i] = found[i];
  }
  canvas_.SetGroupThresholds(groups);
  canvas_.SetFilter(grey_->isChecked() ? ViewFilter::kGrey : groups_->isChecked() ? ViewFilter::kGroups : ViewFilter::kColour);
  canvas_.SetStandIn(!report_                     ? QImage()
                     : silhouette_->isChecked()   ? ImageOf(*report_, "silhouette")
                     : lines_->isChecked()        ? ImageOf(*report_, "line_only")
                                                  : QImage());
  applying_ = false;
  if (changed == mirrored_) emit MirroredChanged(mirrored_->isChecked());
}

}  // namespace armslength::app
