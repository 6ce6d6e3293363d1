// How long Pinocchio's stock rnea() takes on a chain, base included, and what it answers.
//
// Reads the number of joints; for each joint its axis, the offset of its origin, mass, centre of gravity and inertia
// about it (by rows); then angles, rates and accelerations of the joints. Writes seconds a call, then the torques.

#include <algorithm>
#include <chrono>
#include <iomanip>
#include <iostream>
#include <vector>

#include <pinocchio/algorithm/joint-configuration.hpp>
#include <pinocchio/algorithm/rnea.hpp>
#include <pinocchio/multibody.hpp>

static Eigen::Vector3d vector() {
    double x, y, z;
    std::cin >> x >> y >> z;
    return {x, y, z};
}

static void list(Eigen::VectorXd &all, int from, int count) {
    for (int place = 0; place < count; ++place) std::cin >> all[from + place];
}

int main() {
    int joints;
    std::cin >> joints;
    pinocchio::Model model;
    model.gravity.linear() = Eigen::Vector3d(0.0, 0.0, -9.80665);
    auto parent = model.addJoint(0, pinocchio::JointModelFreeFlyer(), pinocchio::SE3::Identity(), "base");
    for (int joint = 0; joint < joints; ++joint) {
        const Eigen::Vector3d axis = vector(), offset = vector();
        double mass;
        std::cin >> mass;
        const Eigen::Vector3d cg = vector();
        Eigen::Matrix3d inertia;
        for (int row = 0; row < 3; ++row) inertia.row(row) = vector();
        const pinocchio::SE3 place(Eigen::Matrix3d::Identity(), offset);
        parent = model.addJoint(parent, pinocchio::JointModelRevoluteUnaligned(axis), place, std::to_string(joint));
        model.appendBodyToJoint(parent, pinocchio::Inertia(mass, cg, inertia), pinocchio::SE3::Identity());
    }
    pinocchio::Data data(model);
    Eigen::VectorXd q = pinocchio::neutral(model), v = Eigen::VectorXd::Zero(model.nv), a = v;
    list(q, 7, joints);
    list(v, 6, joints);
    list(a, 6, joints);

    // Short rounds, so that a busy machine interrupts few of them, and the median of them.
    using Clock = std::chrono::steady_clock;
    std::vector<double> rounds;
    for (int round = 0; round < 400; ++round) {
        const auto start = Clock::now();
        for (int call = 0; call < 500; ++call) pinocchio::rnea(model, data, q, v, a);
        rounds.push_back(std::chrono::duration<double>(Clock::now() - start).count() / 500.0);
    }
    std::nth_element(rounds.begin(), rounds.begin() + 200, rounds.end());
    std::cout << std::setprecision(17) << rounds[200];
    for (int joint = 0; joint < joints; ++joint) std::cout << ' ' << data.tau[6 + joint];
    std::cout << '\n';
}
