#include "app/critique/section.h"

#include <QLayoutItem>
#include <QPainter>
#include <QPainterPath>
#include <QVBoxLayout>

#include "app/critique/shape_painter.h"

namespace armslength::app {
namespace {

constexpr int kHigh = 34;

class FoldHeading : public QAbstractButton {
 public:
  explicit FoldHeading(QWidget* parent) : QAbstractButton(parent) {
    setCheckable(true);
    setFocusPolicy(Qt::StrongFocus);
    setAttribute(Qt::WA_Hover);
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
  }
  [[nodiscard]] QSize sizeHint() const override { return {120, std::max(kHigh, fontMetrics().height() + 14)}; }

 protected:
  void paintEvent(QPaintEvent*) override {
    QPainter p(this);
    p.setRenderHint(QPainter::Antialiasing);
    p.setPen(QPen(palette().color(QPalette::Mid), 1.0));
    p.drawLine(QPointF(0, 0.5), QPointF(width(), 0.5));
    const QColor words = palette().color(QPalette::WindowText);
    if (hasFocus()) {
      p.setPen(QPen(words, 1.5));
      p.drawRoundedRect(QRectF(rect()).adjusted(1, 2, -1, -1), 3, 3);
    }
    const QPointF c(9.0, height() / 2.0 + 0.5);
    QPainterPath arrow;
    if (isChecked()) {
      arrow.moveTo(c + QPointF(-4.5, -2.5));
      arrow.lineTo(c + QPointF(0, 2.5));
      arrow.lineTo(c + QPointF(4.5, -2.5));
    } else {
      arrow.moveTo(c + QPointF(-2.5, -4.5));
      arrow.lineTo(c + QPointF(2.5, 0));
      arrow.lineTo(c + QPointF(-2.5, 4.5));
    }
    p.strokePath(arrow, QPen(words, 1.8, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
    QFont bold = font();
    bold.setBold(true);
    p.setFont(bold);
    p.setPen(words);
    p.drawText(rect().adjusted(22, 1, -4, 0), Qt::AlignVCenter | Qt::AlignLeft,
               p.fontMetrics().elidedText(text(), Qt::ElideRight, width() - 26));
  }
};

}  // namespace

Section::Section(const QString& title, bool open, QWidget* parent) : QWidget(parent) {
  auto* column = new QVBoxLayout(this);
  column->setContentsMargins(0, 0, 0, 0);
  column->setSpacing(6);
  heading_ = new FoldHeading(this);
  heading_->setText(title);
  heading_->setAccessibleName(title);
  body_ = new QWidget(this);
  body_layout_ = new QVBoxLayout(body_);
  body_layout_->setContentsMargins(0, 0, 0, 8);
  body_layout_->setSpacing(8);
  column->addWidget(heading_);
  column->addWidget(body_);
  connect(heading_, &QAbstractButton::toggled, body_, &QWidget::setVisible);
  heading_->setChecked(open);
  body_->setVisible(open);
}

void Section::SetTitle(const QString& title, int count) {
  heading_->setText(QStringLiteral("%1  %2").arg(title).arg(count));
  heading_->setAccessibleName(QStringLiteral("%1, %2").arg(title).arg(count));
  heading_->update();
  setVisible(count > 0);
}

void Section::SetOpen(bool open) { heading_->setChecked(open); }
bool Section::IsOpen() const { return heading_->isChecked(); }

void Section::Clear() {
  while (QLayoutItem* item = body_layout_->takeAt(0)) {
    if (QWidget* widget = item->widget()) {
      widget->hide();
      widget->deleteLater();
    }
    delete item;
  }
}

}  // namespace armslength::app
