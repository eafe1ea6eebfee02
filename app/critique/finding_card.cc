#include "app/critique/finding_card.h"

#include <QAction>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QMouseEvent>
#include <QPainter>
#include <QPushButton>
#include <QVBoxLayout>

#include "app/critique/finding_words.h"
#include "app/critique/gauge.h"
#include "app/critique/shape_painter.h"
#include "app/window/look_and_feel.h"
#include "report/words.h"

namespace armslength::app {
namespace {

QString Q(const std::string& text) { return QString::fromStdString(text); }

// Flat like the other buttons of the window; a pressed answer is dark (light at night).
class AnswerButton : public QAbstractButton {
 public:
  explicit AnswerButton(QWidget* parent) : QAbstractButton(parent) {
    setCheckable(true);
    setFocusPolicy(Qt::TabFocus);
    setAttribute(Qt::WA_Hover);
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
  }
  QString key;
  [[nodiscard]] QSize sizeHint() const override { return {60, std::max(34, fontMetrics().height() + 16)}; }
  [[nodiscard]] QSize minimumSizeHint() const override {
    return {fontMetrics().horizontalAdvance(text()) + 14, sizeHint().height()};
  }

 protected:
  void paintEvent(QPaintEvent*) override {
    QPainter p(this);
    p.setRenderHint(QPainter::Antialiasing);
    const QPalette& pal = palette();
    const bool on = isChecked();
    QColor ground = pal.color(on ? QPalette::Highlight : QPalette::Button);
    if (isDown()) ground = on ? ground.darker(115) : pal.color(QPalette::Mid);
    else if (underMouse() && !on) ground = pal.color(QPalette::Midlight);
    const QColor words = pal.color(on ? QPalette::HighlightedText : QPalette::ButtonText);
    p.setPen(Qt::NoPen);
    p.setBrush(ground);
    const QRectF box = QRectF(rect()).adjusted(0.5, 0.5, -0.5, -0.5);
    p.drawRoundedRect(box, 4, 4);
    if (hasFocus()) {
      p.setBrush(Qt::NoBrush);
      p.setPen(QPen(on ? words : pal.color(QPalette::Text), 1.5));
      p.drawRoundedRect(box.adjusted(1.5, 1.5, -1.5, -1.5), 3, 3);
    }
    p.setPen(words);
    const int gap = key.isEmpty() ? 0 : 7;
    const int key_wide = fontMetrics().horizontalAdvance(key), wide = fontMetrics().horizontalAdvance(text());
    const bool both = !key.isEmpty() && wide + gap + key_wide + 10 <= width();
    if (both) {
      const int left = (width() - wide - gap - key_wide) / 2;
      p.drawText(QRect(left, 0, wide + 1, height()), Qt::AlignVCenter | Qt::AlignLeft, text());
      p.setOpacity(0.8);
      p.drawText(QRect(left + wide + gap, 0, key_wide + 1, height()), Qt::AlignVCenter | Qt::AlignLeft, key);
    } else {
      p.drawText(rect(), Qt::AlignCenter, text());
    }
  }
};

constexpr Given kAnswers[] = {Given::kAgree, Given::kNotSo, Given::kMeant};

// The number in a filled ring.
class NumberMark : public QWidget {
 public:
  NumberMark(int number, QWidget* parent) : QWidget(parent), number_(number) {
    const int side = fontMetrics().height() + 8;
    setFixedSize(side, side);
  }

 protected:
  void paintEvent(QPaintEvent*) override {
    QPainter p(this);
    p.setRenderHint(QPainter::Antialiasing);
    p.setPen(Qt::NoPen);
    p.setBrush(palette().color(QPalette::WindowText));
    p.drawEllipse(rect().adjusted(1, 1, -1, -1));
    QFont bold = font();
    bold.setBold(true);
    p.setFont(bold);
    p.setPen(palette().color(QPalette::Window));
    p.drawText(rect(), Qt::AlignCenter, QString::number(number_));
  }

 private:
  int number_;
};

QString Joined(const QStringList& parts) {
  QStringList filled;
  for (const QString& part : parts)
    if (!part.isEmpty()) filled << part;
  return filled.join(QStringLiteral("  ·  "));
}

}  // namespace

QLabel* FindingCard::Text(const QString& text, bool quiet) {
  QLabel* label = quiet ? QuietText(text, this) : new QLabel(text, this);
  label->setWordWrap(true);
  label->setTextFormat(Qt::PlainText);  // titles and names come from files
  if (text.isEmpty()) label->hide();
  return label;
}

FindingCard::FindingCard(Content content, std::shared_ptr<const Pyramid> picture, bool unfolded, QWidget* parent)
    : QFrame(parent), content_(std::move(content)), picture_(std::move(picture)) {
  const Finding& f = content_.finding;
  setFocusPolicy(Qt::StrongFocus);
  setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Minimum);
  const bool numbers = f.verdict == Verdict::kOff && f.kind != Kind::kKeep;
  const QString title = Q(ShortTitle(f)), amount = numbers ? Q(AmountWithSpread(f)) : QString();
  const QString sure = f.verdict == Verdict::kOff ? CertaintyName(f) : QString();
  setAccessibleName(Joined({title, amount, sure, Q(f.figure)}));
  setAccessibleDescription(Q(f.why));

  column_ = new QVBoxLayout(this);
  column_->setContentsMargins(10, 9, 10, 10);
  column_->setSpacing(6);
  auto* head = new QHBoxLayout;
  head->setSpacing(8);
  if (content_.number > 0) head->addWidget(new NumberMark(content_.number, this), 0, Qt::AlignTop);
  QLabel* name = Heading(title, this);
  name->setTextFormat(Qt::PlainText);
  head->addWidget(name, 1);
  column_->addLayout(head);
  QLabel* big = Text(amount, false);
  if (content_.number > 0) {
    QFont large = big->font();
    large.setPointSizeF(large.pointSizeF() * 1.35);
    big->setFont(large);
  }
  column_->addWidget(big);
  quiet_line_ = Text(Joined({sure, numbers ? MinutesName(f.remedy.minutes) : QString(), Q(f.figure)}), true);
  column_->addWidget(quiet_line_);
  SetUnfolded(unfolded);
}

void FindingCard::MakeDetails() {
  const Finding& f = content_.finding;
  details_ = new QWidget(this);
  auto* column = new QVBoxLayout(details_);
  column->setContentsMargins(0, 2, 0, 0);
  column->setSpacing(8);
  if (picture_) {
    auto* crop = new CropView(details_);
    crop->setAccessibleName(tr("The place on the picture"));
    crop->Show(picture_, f);
    column->addWidget(crop);
  }
  auto* gauge = new GaugeView(details_);
  gauge->Show(f);
  column->addWidget(gauge);
  column->addWidget(Text(Q(f.why), false));
  column->addWidget(Text(Q(f.ask), false));
  if (!f.remedy.detail.empty() && f.verdict == Verdict::kOff && f.kind != Kind::kKeep) {
    QString how = Q(f.remedy.detail);
    how[0] = how[0].toUpper();
    column->addWidget(Text(tr("To mend: %1. %2").arg(WayName(f.remedy.way), how), false));
  }
  if (!content_.parent.isEmpty()) column->addWidget(Text(tr("Mended together with: %1").arg(content_.parent), false));
  column->addWidget(Text(WideningName(content_.widening), false));
  column->addWidget(Text(Joined({KindName(f.kind), StageName(f.stage)}), true));
  column->addWidget(Text(SmallestVisible(f), true));
  column->addWidget(Text(f.source.empty() ? QString() : tr("Tolerance: %1").arg(Q(f.source)), true));
  if (content_.may_answer) {
    auto* row = new QHBoxLayout;
    row->setSpacing(6);
    for (int i = 0; i < 3; ++i) {
      auto* button = new AnswerButton(details_);
      button->setChecked(content_.given == kAnswers[i]);
      const Given answer = kAnswers[i];
      connect(button, &QAbstractButton::clicked, this, [this, answer](bool on) {
        emit Answered(on ? answer : Given::kNothing);
      });
      buttons_[i] = button;
      row->addWidget(button);
    }
    column->addLayout(row);
  }
  column_->addWidget(details_);
  NameButtons();
}

QAbstractButton* FindingCard::Button(Given answer) const {
  for (int i = 0; i < 3; ++i)
    if (kAnswers[i] == answer) return buttons_[i];
  return nullptr;
}

void FindingCard::SetKeys(const QStringList& keys) {
  keys_ = keys;
  NameButtons();
}

void FindingCard::NameButtons() {
  const QString words[] = {tr("Agree"), tr("Not so"), tr("Meant")};
  const QString help[] = {tr("You see it too"), tr("You do not: it is out of the count, and has to be surer next time"),
                          tr("You drew it like this on purpose: it stays visible, uncounted")};
  for (int i = 0; i < 3; ++i) {
    if (!buttons_[i]) continue;
    auto* button = static_cast<AnswerButton*>(buttons_[i]);
    button->key = current_ && i < keys_.size() ? keys_[i] : QString();
    button->setText(words[i]);
    button->setAccessibleName(tr("%1: %2").arg(words[i], Q(ShortTitle(content_.finding))));
    button->setToolTip(i < keys_.size() ? QStringLiteral("%1 (%2)").arg(help[i], keys_[i]) : help[i]);
    button->update();
  }
}

void FindingCard::SetUnfolded(bool on) {
  unfolded_ = on;
  if (on && !details_) MakeDetails();
  if (details_) details_->setVisible(on);
  updateGeometry();
}

void FindingCard::SetCurrent(bool on) {
  if (current_ == on) return;
  current_ = on;
  NameButtons();
  update();
}

void FindingCard::paintEvent(QPaintEvent*) {
  QPainter p(this);
  p.setRenderHint(QPainter::Antialiasing);
  p.setBrush(palette().color(QPalette::Base));
  p.setPen(current_ ? QPen(palette().color(QPalette::WindowText), 2.0) : QPen(palette().color(QPalette::Mid), 1.0));
  p.drawRoundedRect(QRectF(rect()).adjusted(1, 1, -1, -1), 5, 5);
}

void FindingCard::mousePressEvent(QMouseEvent* event) {
  if (event->button() != Qt::LeftButton) return;
  // A press on the row folds and unfolds all but the first three.
  if (content_.number == 0 && (!details_ || !unfolded_ || event->pos().y() < details_->y())) SetUnfolded(!unfolded_);
  setFocus(Qt::MouseFocusReason);
  emit Chosen();
}

void FindingCard::focusInEvent(QFocusEvent* event) {
  QFrame::focusInEvent(event);
  emit Chosen();
}

void FindingCard::keyPressEvent(QKeyEvent* event) {
  if (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter || event->key() == Qt::Key_Space) {
    if (content_.number == 0) SetUnfolded(!unfolded_);
    emit Chosen();
    return;
  }
  QFrame::keyPressEvent(event);
}

}  // namespace armslength::app
