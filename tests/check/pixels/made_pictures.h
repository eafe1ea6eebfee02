#pragma once
// Small drawings that the picture checks are tried on, and how they are asked.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include <gtest/gtest.h>
#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/pixels/picture_checks.h"

namespace armslength {

inline ImageRgba8 FromMat(const cv::Mat& bgr) {
  ImageRgba8 out;
  out.width = bgr.cols;
  out.height = bgr.rows;
  out.pixels.resize(4u * static_cast<std::size_t>(bgr.total()));
  for (int y = 0; y < bgr.rows; ++y)
    for (int x = 0; x < bgr.cols; ++x) {
      const auto& p = bgr.at<cv::Vec3b>(y, x);
      std::uint8_t* d = out.At(x, y);
      d[0] = p[2], d[1] = p[1], d[2] = p[0], d[3] = 255;
    }
  return out;
}

// An egg-shaped figure in line on white; `gap_deg` opens its outline at the right.
inline cv::Mat Egg(double gap_deg) {
  cv::Mat m(900, 700, CV_8UC3, cv::Scalar(255, 255, 255));
  cv::ellipse(m, cv::Point(350, 450), cv::Size(200, 320), 0, gap_deg / 2, 360 - gap_deg / 2, cv::Scalar(15, 10, 10), 5, cv::LINE_AA);
  cv::ellipse(m, cv::Point(350, 330), cv::Size(40, 24), 0, 0, 360, cv::Scalar(15, 10, 10), 4, cv::LINE_AA);
  cv::line(m, {300, 560}, {400, 570}, cv::Scalar(15, 10, 10), 4, cv::LINE_AA);
  return m;
}

inline PictureReport Check(const cv::Mat& m, PictureCheckOptions options = {}) {
  Picture picture;
  picture.image = FromMat(m);
  auto report = CheckPicture(picture, options);
  EXPECT_TRUE(report) << report.error().Text();
  return report ? *report : PictureReport{};
}

inline const Finding* Find(const PictureReport& report, const std::string& id) {
  const auto it = std::ranges::find_if(report.findings, [&](const Finding& f) { return f.id == id; });
  return it == report.findings.end() ? nullptr : &*it;
}

// Six balls with a crescent of shadow; `turned` of them are lit from the right, the others from the left.
inline cv::Mat Balls(int turned) {
  cv::Mat m(900, 1000, CV_8UC3, cv::Scalar(235, 240, 240));
  for (int i = 0; i < 6; ++i) {
    const cv::Point at(180 + 320 * (i % 3), 240 + 420 * (i / 3));
    const int to = i < turned ? 1 : -1;
    cv::Mat disc(m.size(), CV_8U, cv::Scalar(0)), lit(m.size(), CV_8U, cv::Scalar(0));
    cv::circle(disc, at, 120, cv::Scalar(255), cv::FILLED);
    cv::circle(lit, at + cv::Point(45 * to, -20), 120, cv::Scalar(255), cv::FILLED);
    m.setTo(cv::Scalar(70, 80, 140), disc);
    m.setTo(cv::Scalar(105, 120, 205), disc & lit);
    cv::circle(m, at, 120, cv::Scalar(20, 15, 15), 6, cv::LINE_AA);
  }
  return m;
}

}  // namespace armslength
