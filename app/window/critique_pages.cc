#include "app/window/critique_pages.h"

#include <QBuffer>
#include <QFileInfo>
#include <QPainter>
#include <QPdfWriter>

#include "app/canvas/halo.h"
#include "app/critique/finding_words.h"
#include "app/critique/shape_painter.h"
#include "report/shapes.h"
#include "report/words.h"
#include "support/files.h"

namespace armslength::app {
namespace {

constexpr int kDpi = 150;

QString U(const std::string& s) { return QString::fromStdString(s); }

QString Sentence(const std::string& s) {
  QString text = U(s);
  if (!text.isEmpty()) text[0] = text[0].toUpper();
  return text.endsWith(QLatin1Char('.')) ? text : text + QLatin1Char('.');
}

// Pages filled from the top; text that does not fit goes to the next one.
class Pages {
 public:
  explicit Pages(QPagedPaintDevice& device)
      : device_(device), p_(&device), mm_(device.logicalDpiX() / 25.4), wide_(device.width()), high_(device.height()) {
    p_.setRenderHints(QPainter::Antialiasing | QPainter::SmoothPixmapTransform);
  }
  QPainter& Painter() { return p_; }
  [[nodiscard]] double Mm() const { return mm_; }
  [[nodiscard]] double Wide() const { return wide_; }
  [[nodiscard]] double Left() const { return high_ - y_; }
  [[nodiscard]] double Y() const { return y_; }
  void Room(double needed) {
    if (y_ + needed <= high_) return;
    device_.newPage();
    y_ = 0;
  }
  void Down(double by) { y_ += by; }
  // Words at x, in a column `wide` across; returns their height. Does not move down.
  double Words(const QString& text, double x, double wide, double point_size, bool bold, const QColor& colour = Qt::black) {
    QFont font(QStringLiteral("sans-serif"));
    font.setPointSizeF(point_size);
    font.setBold(bold);
    p_.setFont(font);
    p_.setPen(colour);
    const QRectF all(x, y_, wide, 1e6);
    const QRectF used = p_.boundingRect(all, Qt::TextWordWrap, text);
    p_.drawText(QRectF(x, y_, wide, used.height() + 2), Qt::TextWordWrap, text);
    return used.height();
  }
  double Height(const QString& text, double wide, double point_size, bool bold) {
    QFont font(QStringLiteral("sans-serif"));
    font.setPointSizeF(point_size);
    font.setBold(bold);
    p_.setFont(font);
    return p_.boundingRect(QRectF(0, 0, wide, 1e6), Qt::TextWordWrap, text).height();
  }
  void Line(const QString& text, double point_size, bool bold, const QColor& colour = Qt::black) {
    Room(Height(text, wide_, point_size, bold));
    y_ += Words(text, 0, wide_, point_size, bold, colour) + 1.2 * mm_;
  }

 private:
  QPagedPaintDevice& device_;
  QPainter p_;
  double mm_, wide_, high_, y_ = 0;
};

// The part `crop_px` of the picture in `box`, with a finding's shapes on it.
void Crop(QPainter& p, const Pyramid& picture, const QRectF& crop_px, const QRectF& box, const std::vector<const Finding*>& on) {
  QTransform t;
  t.translate(box.x(), box.y());
  t.scale(box.width() / crop_px.width(), box.height() / crop_px.height());
  t.translate(-crop_px.x(), -crop_px.y());
  const int level = picture.LevelFor(box.width() / crop_px.width());
  const double scale = static_cast<double>(picture.Size().width()) / picture.Size(level).width();
  p.save();
  p.setClipRect(box);
  p.fillRect(box, Qt::white);
  for (int ty = 0; ty < picture.TilesY(level); ++ty)
    for (int tx = 0; tx < picture.TilesX(level); ++tx) {
      const QRectF where(tx * Pyramid::kTile * scale, ty * Pyramid::kTile * scale, Pyramid::kTile * scale, Pyramid::kTile * scale);
      if (!where.intersects(crop_px)) continue;
      const QImage tile = picture.Tile(level, tx, ty);
      p.drawImage(t.mapRect(QRectF(where.topLeft(), QSizeF(tile.width() * scale, tile.height() * scale))), tile);
    }
  for (const Finding* f : on) PaintShapes(p, ShapesOf(*f), t, 0.5 * p.device()->logicalDpiX() / 25.4, false);
  p.restore();
  p.setPen(QPen(QColor(150, 150, 150), 1));
  p.setBrush(Qt::NoBrush);
  p.drawRect(box);
}

QString Numbers(const Finding& f) {
  QStringList parts;
  if (const std::string amount = AmountWithSpread(f); !amount.empty()) parts << U(amount);
  if (const QString sure = CertaintyName(f); !sure.isEmpty()) parts << sure;
  if (f.remedy.minutes > 0.0) parts << MinutesName(f.remedy.minutes);
  return parts.join(QStringLiteral(" \u00B7 "));
}

void FirstFindings(Pages& pages, const Critique& c, const Pyramid& picture) {
  const double mm = pages.Mm();
  int number = 0;
  for (const Finding& f : c.first) {
    const double crop_wide = 56 * mm, crop_high = 40 * mm, x = crop_wide + 6 * mm, wide = pages.Wide() - x;
    const QString title = QStringLiteral("%1  %2").arg(++number).arg(U(ShortTitle(f)));
    const QString words = U(f.why) + (f.remedy.detail.empty() ? QString() : QStringLiteral("\n") + Sentence(f.remedy.detail));
    const double text_high = pages.Height(title, wide, 12, true) + pages.Height(Numbers(f), wide, 9.5, false) +
                             pages.Height(words, wide, 9.5, false) + 4 * mm;
    pages.Room(std::max(crop_high, text_high));
    const double top = pages.Y();
    Crop(pages.Painter(), picture, CropFor(f, picture.Size(), QSizeF(crop_wide, crop_high)),
         QRectF(0, top, crop_wide, crop_high), {&f});
    double used = pages.Words(title, x, wide, 12, true) + 1 * mm;
    pages.Down(used);
    double step = pages.Words(Numbers(f), x, wide, 9.5, false, QColor(80, 80, 80)) + 1.5 * mm;
    pages.Down(step);
    used += step;
    used += pages.Words(words, x, wide, 9.5, false);
    pages.Down(std::max(crop_high, used) - (pages.Y() - top) + 6 * mm);
  }
}

void Lists(Pages& pages, const Arranged& shown) {
  const Critique& c = shown.critique;
  const double mm = pages.Mm();
  const auto list = [&](const QString& heading, const std::vector<const Finding*>& findings) {
    if (findings.empty()) return;
    pages.Room(20 * mm);
    pages.Down(2 * mm);
    pages.Line(heading, 11.5, true);
    for (const Finding* f : findings) {
      const QString numbers = Numbers(*f);
      pages.Line(U(ShortTitle(*f)) + (numbers.isEmpty() ? QString() : QStringLiteral(": ") + numbers), 9.5, false);
    }
  };
  const auto of = [](const std::vector<Finding>& findings) {
    std::vector<const Finding*> out;
    for (const Finding& f : findings) out.push_back(&f);
    return out;
  };
  std::vector<const Finding*> covered;
  for (const CoveredFinding& f : c.covered) covered.push_back(&f.finding);
  list(Document::tr("More that is off"), of(c.rest));
  list(Document::tr("Mended together with another"), covered);
  list(Document::tr("Cannot be told from this view"), of(c.cannot_tell));
  list(Document::tr("Observations, a matter of taste"), of(c.observations));
  list(Document::tr("You meant it"), of(c.meant));
  list(Document::tr("You disagree"), of(shown.disagreed));
  list(Document::tr("What works"), of(c.keep));
}

}  // namespace

void PaintCritique(QPagedPaintDevice& device, const Arranged& shown, const Document& document) {
  const auto picture = document.Picture();
  if (!picture) return;
  Pages pages(device);
  const double mm = pages.Mm();
  pages.Line(QFileInfo(document.Path()).fileName(), 16, true);
  const Critique& c = shown.critique;
  pages.Line(c.first.empty() ? Document::tr("Nothing to mend was found") : Document::tr("To mend first"), 11.5, false);
  std::vector<const Finding*> first;
  for (const Finding& f : c.first) first.push_back(&f);
  const QSizeF whole(picture->Size());
  const QSizeF fit = whole.scaled(QSizeF(pages.Wide(), 105 * mm), Qt::KeepAspectRatio);
  Crop(pages.Painter(), *picture, QRectF(QPointF(0, 0), whole),
       QRectF(QPointF((pages.Wide() - fit.width()) / 2, pages.Y()), fit), first);
  pages.Down(fit.height() + 6 * mm);
  FirstFindings(pages, c, *picture);
  Lists(pages, shown);
  if (!document.Current().notes.empty()) {
    pages.Room(20 * mm);
    pages.Down(2 * mm);
    pages.Line(Document::tr("Your notes"), 11.5, true);
    for (const Note& n : document.Current().notes) pages.Line(n.text, 9.5, false);
  }
}

QString WriteCritiquePdf(const QString& path, const Arranged& shown, const Document& document) {
  if (!document.Picture()) return Document::tr("Open a picture first.");
  QByteArray bytes;
  QBuffer buffer(&bytes);
  buffer.open(QIODevice::WriteOnly);
  {
    QPdfWriter writer(&buffer);
    writer.setPageSize(QPageSize(QPageSize::A4));
    writer.setPageMargins(PageMarginsMm(), QPageLayout::Millimeter);
    writer.setResolution(kDpi);
    writer.setTitle(QFileInfo(document.Path()).fileName());
    writer.setCreator(QStringLiteral("Armslength"));
    PaintCritique(writer, shown, document);
  }
  const auto written = WriteFileAtomic(path.toStdString(), std::string_view(bytes.constData(), static_cast<std::size_t>(bytes.size())));
  return written ? QString() : U(written.error().Text());
}

}  // namespace armslength::app
