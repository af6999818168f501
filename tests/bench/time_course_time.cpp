// time_course_time FILE COVARIANCE REPEATS: fits the curves of FILE (subject,food,time_min,value, numbers
// from 1) and prints milliseconds a fit and the log likelihood. Run by time_course_compare.sh beside R on the
// same file.
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <map>
#include <string>

#include "core/compare/time_course.h"

int main(int count, char** arguments) {
    if (count != 4) {
        std::fputs("usage: time_course_time FILE independent|ar1|unstructured REPEATS\n", stderr);
        return 2;
    }
    std::ifstream file(arguments[1]);
    std::string line;
    std::getline(file, line);
    aftercurve::TimeCourseData data;
    std::map<double, std::size_t> times;
    std::size_t foods = 0;
    unsigned long subject = 0;
    unsigned long food = 0;
    double minutes = 0.0;
    double value = 0.0;
    while (std::getline(file, line) &&
           std::sscanf(line.c_str(), "%lu,%lu,%lf,%lf", &subject, &food, &minutes, &value) == 4) {
        const std::size_t time = times.try_emplace(minutes, times.size()).first->second;
        if (time == data.timesMin.size()) {
            data.timesMin.push_back(minutes);
        }
        foods = food > foods ? food : foods;
        data.rows.push_back({subject, food - 1, 0, time, value, {}});
    }
    for (std::size_t f = 1; f <= foods; ++f) {
        data.foods.push_back("food " + std::to_string(f));
    }
    aftercurve::TimeCourseOptions options;
    const std::string word = arguments[2];
    options.covariance = word == "independent" ? aftercurve::CurveCovariance::independent
                         : word == "ar1"       ? aftercurve::CurveCovariance::continuousTimeAr1
                                               : aftercurve::CurveCovariance::unstructured;
    options.comparator = 0;
    const int repeats = std::atoi(arguments[3]);
    const auto begin = std::chrono::steady_clock::now();
    aftercurve::TimeCourse result;
    for (int i = 0; i < repeats; ++i) {
        result = aftercurve::timeCourse(data, options);
    }
    const std::chrono::duration<double, std::milli> taken = std::chrono::steady_clock::now() - begin;
    std::printf("program %s: %.2f ms, log likelihood %.6f %s\n", arguments[2], taken.count() / repeats,
                result.remlLogLikelihood.value_or(0.0), result.absentBecause.c_str());
    return result.absentBecause.empty() ? 0 : 1;
}
