#include "app/views/standing_view.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <QPainter>
#include <QPainterPath>

#include "app/critique/shape_painter.h"
#include "report/block_body.h"
#include "report/standing_parts.h"
#include "words/say.h"

namespace armslength::app {
namespace {

using L = StandingLevel;

double Level(const StandingBody& b, L level) { return b.level[static_cast<std::size_t>(level)]; }
double LevelSd(const StandingBody& b, L level) { return b.level_sd[static_cast<std::size_t>(level)]; }

Ink InkOf(const QColor& c) { return {c.redF(), c.greenF(), c.blueF(), c.alphaF()}; }

QColor Mixed(const QColor& a, const QColor& b, double share) {
  const auto mix = [share](int x, int y) { return static_cast<int>(std::lround(x + share * (y - x))); };
  return {mix(a.red(), b.red()), mix(a.green(), b.green()), mix(a.blue(), b.blue())};
}

// Half of a body's breadth with its hanging arms, heads.
double HalfWidth(const StandingBody& b) {
  const auto y = [&b](PointId id) { return b.joints[static_cast<std::size_t>(id)].y(); };
  const double arm = y(PointId::kShoulderL) - y(PointId::kHandTipL);
  return 0.5 * b.shoulder_width + std::sin(kArmHangRad) * arm + 0.08;
}

QString Signed(double heads) {
  const double size = std::abs(heads);
  const std::string digits = size < 0.25 ? Say("{:.2f}", size) : Say("{:.1f}", size);  // tenths are what an eye sees
  return (heads < 0 ? QStringLiteral("−") : QStringLiteral("+")) + QString::fromStdString(digits);
}

QString Tenths(double heads) { return QString::fromStdString(Say("{:.1f}", heads)); }

void DrawBody(QPainter& painter, const StandingBody& body, const std::array<bool, kBoneCount>& off, const QPointF& feet,
              double scale, const BlockStyle& style) {
  const double ratio = painter.device()->devicePixelRatioF();
  const double half = (HalfWidth(body) + 0.4) * scale, high = (body.Height() + 0.3) * scale;
  const int wide = static_cast<int>(std::ceil(2 * half * ratio)), tall = static_cast<int>(std::ceil((high + 8) * ratio));
  if (wide <= 0 || tall <= 0) return;
  const Vec2 origin(half * ratio, high * ratio);
  const auto image = PaintAlone(0, 0, wide, tall, [&](cairo_t* cr) { DrawBlockBody(cr, body, origin, scale * ratio, off, style); });
  if (!image) return;
  QImage view(image->pixels.data(), image->width, image->height, 4 * image->width, QImage::Format_RGBA8888);
  view.setDevicePixelRatio(ratio);
  painter.drawImage(feet - QPointF(half, high), view);
}

}  // namespace

StandingView::StandingView(QWidget* parent) : QWidget(parent) {
  setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Expanding);
  Show(std::nullopt, {});
}

void StandingView::Show(std::optional<StandingFigure> standing, const QString& canon_name, bool stale) {
  standing_ = std::move(standing);
  canon_ = canon_name;
  stale_ = stale;
  setAccessibleName(tr("The drawn body standing beside its canon"));
  setAccessibleDescription(Spoken());
  update();
}

QString StandingView::Spoken() const {
  if (!standing_) return tr("No body was read yet: set five marks of the body.");
  if (!standing_->usable) return QString::fromStdString(standing_->why_not);
  QStringList parts;
  for (const StandingPart& p : DepartingParts(*standing_))
    parts << tr("%1: %2 heads").arg(QString::fromStdString(p.name), Signed(p.Difference()));
  return parts.isEmpty() ? tr("No part departs from the canon by more than can be told.") : parts.join(QStringLiteral(", "));
}

void StandingView::paintEvent(QPaintEvent*) {
  QPainter p(this);
  p.setRenderHint(QPainter::Antialiasing);
  p.fillRect(rect(), palette().color(QPalette::Base));
  const QColor text = palette().color(QPalette::Text), quiet = QuietTextOn(palette());
  if (!standing_ || !standing_->usable) {
    p.setPen(text);
    p.drawText(rect().adjusted(24, 24, -24, -24), Qt::AlignCenter | Qt::TextWordWrap, Spoken());
    return;
  }
  const StandingFigure& s = *standing_;
  const int line = fontMetrics().height();
  QString note = QString::fromStdString(s.note);
  if (stale_) note = tr("From before your last change. ") + note;
  const QRect note_room(14, 0, width() - 28, height());
  const int note_high = note.isEmpty() ? 0 : p.boundingRect(note_room, Qt::AlignLeft | Qt::TextWordWrap, note).height();
  // A canon's name that does not fit beside its head count goes below it.
  const QString canon_count = tr("%1 heads").arg(Tenths(s.heads_canon));
  const QString canon_both = canon_.isEmpty() ? canon_count : canon_count + QStringLiteral(" · ") + canon_;
  const bool beside = fontMetrics().horizontalAdvance(canon_both) <= width() / 2 - 16;
  const QString canon_heads = beside ? canon_both : canon_count + QLatin1Char('\n') + canon_;
  const int lines = beside ? 2 : 3;
  const double foot = lines * line + 18.0 + note_high;
  const QRectF room(0, 14, width(), height() - 14 - foot);
  if (stale_) p.setOpacity(0.5);
  PaintBodies(p, room);
  p.setOpacity(1.0);

  // Below: what each body is, and what the drawn one rests on.
  const double y = room.bottom() + 8.0, third = width() / 2.0;
  QString heads = tr("no head count from one view");
  if (s.heads_drawn) {
    heads = tr("%1 heads").arg(Tenths(*s.heads_drawn));
    if (s.heads_low && s.heads_high) heads += tr(" (%1–%2)").arg(Tenths(*s.heads_low), Tenths(*s.heads_high));
  }
  const auto caption = [&](double x, const QColor& colour, bool dashed, const QString& what, const QString& count) {
    QPen pen(colour, 2.5);
    if (dashed) pen.setDashPattern({3.0, 2.0});
    p.setPen(pen);
    p.drawLine(QPointF(x, y + line / 2.0), QPointF(x + 26, y + line / 2.0));
    QFont bold = font();
    bold.setBold(true);
    p.setFont(bold);
    p.setPen(text);
    const int wide = static_cast<int>(third) - 50;
    p.drawText(QRectF(x + 34, y, wide, line), Qt::AlignLeft | Qt::AlignVCenter, p.fontMetrics().elidedText(what, Qt::ElideRight, wide));
    p.setFont(font());
    p.setPen(quiet);
    int below = 1;
    for (const QString& row : count.split(QLatin1Char('\n')))
      p.drawText(QRectF(x, y + below++ * line, third - 16, line), Qt::AlignLeft | Qt::AlignVCenter,
                 fontMetrics().elidedText(row, Qt::ElideRight, static_cast<int>(third) - 16));
  };
  caption(14, DrawnOn(palette()), true, tr("as drawn"), heads);
  caption(third + 6, TargetOn(palette()), false, s.canon_declared ? tr("your canon") : tr("canon, assumed"), canon_heads);
  p.setPen(quiet);
  p.drawText(QRectF(14, y + lines * line + 4, width() - 28, note_high + 2), Qt::AlignLeft | Qt::TextWordWrap, note);
}

void StandingView::PaintBodies(QPainter& p, const QRectF& room) {
  const StandingFigure& s = *standing_;
  const double tallest = std::max({s.drawn.Height() + LevelSd(s.drawn, L::kCrown), s.canon.Height(), 1.0}) + 0.1;
  // Two bodies, the words between them, the numbers of the rules at the left.
  QFont bold = font();
  bold.setBold(true);
  double words = QFontMetrics(bold).horizontalAdvance(tr("%1 heads").arg(Signed(-0.88)));
  for (const StandingPart& part : DepartingParts(s))
    words = std::max(words, 1.0 * fontMetrics().horizontalAdvance(QString::fromStdString(part.name)));
  words += 30.0;  // brackets and air
  const double rule_room = fontMetrics().horizontalAdvance(QStringLiteral("00")) + 18.0;
  const double wd = HalfWidth(s.drawn), wc = HalfWidth(s.canon);
  const double scale = std::min(room.height() / tallest,
                                std::max(10.0, (room.width() - rule_room - words - 24.0) / (2.0 * (wd + wc))));
  const double floor = room.bottom();
  const double spare = std::max(0.0, room.width() - rule_room - words - 24.0 - 2.0 * scale * (wd + wc)) / 3.0;
  const double drawn_x = rule_room + 6.0 + spare + wd * scale;
  const double canon_x = room.width() - 10.0 - spare - wc * scale;
  const auto y = [&](double heads) { return floor - scale * heads; };
  const QColor ground = palette().color(QPalette::Base), quiet = QuietTextOn(palette());

  // Head heights, counted down from the canon's crown as handbooks do.
  const double top = s.canon.Height();
  for (int head = 0; head <= static_cast<int>(top + 1e-6); ++head) {
    const double at = y(top - head);
    if (at > floor - 2.0) break;
    p.setPen(QPen(Mixed(ground, palette().color(QPalette::Text), 0.22), 1.0));
    p.drawLine(QPointF(rule_room, at), QPointF(room.width() - 8.0, at));
    p.setPen(quiet);
    p.drawText(QRectF(0, at - 20, rule_room - 6.0, 40), Qt::AlignRight | Qt::AlignVCenter, QString::number(head));
  }
  p.setPen(QPen(palette().color(QPalette::Text), 1.5));
  p.drawLine(QPointF(8.0, floor), QPointF(room.width() - 8.0, floor));

  const QColor drawn = DrawnOn(palette()), target = TargetOn(palette());
  for (const L level : {L::kHips, L::kCrown}) {  // where the level lies in 95 of 100 cases
    const auto band = [&](const StandingBody& b, double x, double wide, QColor colour) {
      const double half = std::max(1.5, 1.96 * LevelSd(b, level) * scale);
      colour.setAlphaF(0.22F);
      p.fillRect(QRectF(x - wide * scale, y(Level(b, level)) - half, 2.0 * wide * scale, 2.0 * half), colour);
    };
    band(s.drawn, drawn_x, wd, drawn);
    band(s.canon, canon_x, wc, target);
  }
  const std::array<bool, kBoneCount> none{};
  const QColor clay = Mixed(ground, target, 0.10), clay_drawn = Mixed(ground, drawn, 0.08), clay_off = Mixed(ground, drawn, 0.38);
  const double ratio = devicePixelRatioF(), line = 1.6 * ratio;
  DrawBody(p, s.canon, none, {canon_x, floor}, scale, {InkOf(target), InkOf(clay), InkOf(clay), line, false});
  DrawBody(p, s.drawn, s.bone_off, {drawn_x, floor}, scale, {InkOf(drawn), InkOf(clay_drawn), InkOf(clay_off), line, true});
  PaintParts(p, drawn_x + wd * scale + 8.0, canon_x - wc * scale - 8.0, floor, scale);
}

void StandingView::PaintParts(QPainter& p, double xd, double xc, double floor, double scale) {
  const QColor drawn = DrawnOn(palette()), target = TargetOn(palette()), text = palette().color(QPalette::Text);
  const auto y = [&](double heads) { return floor - scale * heads; };
  double last = -1e9;  // words do not lie on each other
  std::vector<StandingPart> parts = DepartingParts(*standing_);
  std::ranges::sort(parts, {}, [](const StandingPart& part) { return -part.drawn_high; });
  for (const StandingPart& part : parts) {
    QPen dots(QuietTextOn(palette()), 1.2);
    dots.setDashPattern({1.0, 3.0});
    p.setPen(dots);
    p.drawLine(QPointF(xd, y(part.drawn_high)), QPointF(xc, y(part.canon_high)));
    p.drawLine(QPointF(xd, y(part.drawn_low)), QPointF(xc, y(part.canon_low)));
    const auto bracket = [&](double x, double low, double high, double tick, const QColor& colour, bool dashed) {
      QPainterPath path({x + tick, y(low)});
      path.lineTo(x, y(low));
      path.lineTo(x, y(high));
      path.lineTo(x + tick, y(high));
      QPen pen(colour, 2.2, Qt::SolidLine, Qt::FlatCap, Qt::MiterJoin);
      if (dashed) pen.setDashPattern({3.0, 2.0});
      p.strokePath(path, pen);
    };
    bracket(xd, part.drawn_low, part.drawn_high, -6.0, drawn, true);
    bracket(xc, part.canon_low, part.canon_high, 6.0, target, false);
    const int line = fontMetrics().height();
    const double middle = 0.25 * (part.drawn_low + part.drawn_high + part.canon_low + part.canon_high);
    QRectF box(xd + 5.0, std::max(y(middle) - 1.5 * line - 3.0, last + 2.0), xc - xd - 10.0, 3 * line + 6.0);
    last = box.bottom();
    p.setPen(Qt::NoPen);
    p.setBrush(palette().color(QPalette::Base));
    p.drawRoundedRect(box, 4, 4);
    p.setPen(text);
    const QString share = QStringLiteral("%1%2 %").arg(part.Difference() < 0 ? QStringLiteral("−") : QStringLiteral("+"))
                              .arg(std::abs(100.0 * part.Share()), 0, 'f', 0);
    QFont bold = font();
    bold.setBold(true);
    const QString rows[] = {QString::fromStdString(part.name), tr("%1 heads").arg(Signed(part.Difference())), share};
    for (int i = 0; i < 3; ++i) {
      p.setFont(i == 1 ? bold : font());
      p.drawText(QRectF(box.x(), box.y() + 3 + i * line, box.width(), line), Qt::AlignCenter, rows[i]);
    }
    p.setFont(font());
  }
}

}  // namespace armslength::app
