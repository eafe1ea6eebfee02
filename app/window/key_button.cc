#include "app/window/key_button.h"

#include <QPainter>
#include <QStyleOption>

namespace armslength::app {
namespace {

constexpr int kPad = 10, kHigh = 34;

QString KeyText(const QAction& action) { return action.shortcut().toString(QKeySequence::NativeText); }

}  // namespace

KeyButton::KeyButton(QAction* action, QWidget* parent, Weight weight)
    : QAbstractButton(parent), action_(action), weight_(weight) {
  setFocusPolicy(Qt::TabFocus);
  setSizePolicy(QSizePolicy::Preferred, QSizePolicy::Fixed);
  setAttribute(Qt::WA_Hover);
  Follow();
  connect(action_, &QAction::changed, this, &KeyButton::Follow);
  connect(action_, &QAction::toggled, this, [this](bool on) { setChecked(on); });
  connect(this, &QAbstractButton::clicked, this, [this] {
    action_->trigger();
    Follow();  // the action decides, also against the click
  });
}

void KeyButton::Follow() {
  setText(action_->text());
  setAccessibleName(action_->text());
  setCheckable(action_->isCheckable());
  setChecked(action_->isChecked());
  setEnabled(action_->isEnabled());
  const QString key = KeyText(*action_), help = action_->statusTip();
  setToolTip(help.isEmpty() ? key : key.isEmpty() ? help : QStringLiteral("%1 (%2)").arg(help, key));
  updateGeometry();
  update();
}

QSize KeyButton::sizeHint() const {
  QFont bold = font();
  bold.setBold(true);
  const int words = QFontMetrics(bold).horizontalAdvance(text());
  const QString key = KeyText(*action_);
  const int cap = key.isEmpty() ? 0 : fontMetrics().horizontalAdvance(key) + 10;
  return {2 * kPad + words + cap, std::max(kHigh, fontMetrics().height() + 16)};
}

QSize KeyButton::minimumSizeHint() const { return {48, sizeHint().height()}; }

void KeyButton::paintEvent(QPaintEvent*) {
  QPainter p(this);
  p.setRenderHint(QPainter::Antialiasing);
  const QPalette& pal = palette();
  const bool on = isChecked(), strong = weight_ == Weight::kStrong && isEnabled();
  // What to do is filled, what is so is framed.
  QColor ground = strong ? pal.color(QPalette::Highlight) : pal.color(on ? QPalette::Base : QPalette::Button);
  QColor words = strong ? pal.color(QPalette::HighlightedText)
                        : pal.color(isEnabled() ? QPalette::Active : QPalette::Disabled, QPalette::ButtonText);
  if (!isEnabled() && !on) ground = pal.color(QPalette::Window);
  if (isDown())
    ground = strong ? ground.darker(115) : pal.color(QPalette::Mid);
  else if (underMouse() && isEnabled() && !on && !strong)
    ground = pal.color(QPalette::Midlight);
  const QRectF box = QRectF(rect()).adjusted(0.5, 0.5, -0.5, -0.5);
  p.setPen(on ? QPen(words, 1.6) : isEnabled() ? Qt::NoPen : QPen(pal.color(QPalette::Button), 1.0));
  p.setBrush(ground);
  p.drawRoundedRect(on ? box.adjusted(0.4, 0.4, -0.4, -0.4) : box, 4, 4);
  if (hasFocus()) {
    p.setBrush(Qt::NoBrush);
    p.setPen(QPen(words, 1.0, Qt::DotLine));
    p.drawRoundedRect(box.adjusted(3, 3, -3, -3), 2, 2);
  }
  QRect inside = rect().adjusted(kPad, 0, -kPad, 0);
  const QString key = KeyText(*action_);
  QFont bold_font = font();
  bold_font.setBold(true);
  const int words_px = QFontMetrics(on || strong ? bold_font : font()).horizontalAdvance(text());
  // Where there is no room for both, the words stay whole; the tooltip has the key.
  if (const int wide = fontMetrics().horizontalAdvance(key); !key.isEmpty() && words_px + 8 + wide <= inside.width()) {
    p.setPen(words);
    p.setOpacity(strong ? 0.85 : 0.8);
    p.drawText(inside, Qt::AlignVCenter | Qt::AlignRight, key);
    p.setOpacity(1.0);
    inside.adjust(0, 0, -wide - 8, 0);
  }
  if (on || strong) p.setFont(bold_font);
  p.setPen(words);
  p.drawText(inside, Qt::AlignVCenter | Qt::AlignLeft,
             p.fontMetrics().elidedText(text(), Qt::ElideRight, inside.width()));
}

}  // namespace armslength::app
