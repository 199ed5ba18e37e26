#include "camera.h"
#include <math.h>
#include <string.h>

double dice_uniform(uint64_t *dice) /* xorshift64* (Vigna; from memory, unchecked) */
{
    *dice ^= *dice >> 12, *dice ^= *dice << 25, *dice ^= *dice >> 27;
    return (double)(*dice * UINT64_C(2685821657736338717) >> 11) / 9007199254740992.0;
}

double dice_normal(uint64_t *dice) /* Box and Muller */
{
    double u = 1 - dice_uniform(dice), v = dice_uniform(dice);
    return sqrt(-2 * log(u)) * cos(2 * M_PI * v);
}

static double between(uint64_t *dice, double low, double high)
{
    return low + (high - low) * dice_uniform(dice);
}

struct pose {
    double right[3], up[3], ahead[3], at[3];
};

/* Looks at a place near the middle of the side, from far away, to the side and above or below. */
static struct pose pose_make(struct scene *scene)
{
    struct pose pose;
    uint64_t *dice = &scene->dice;
    double turn = between(dice, -35, 35) * M_PI / 180, tip = between(dice, -12, 12) * M_PI / 180;
    double roll = between(dice, -4, 4) * M_PI / 180, far = between(dice, 5000, 9000);
    double target[3] = {between(dice, 2300, 2900), between(dice, 800, 1100), 0};
    double ahead[3] = {sin(turn) * cos(tip), sin(tip), -cos(turn) * cos(tip)};
    double right[3] = {cos(turn), 0, sin(turn)};
    double up[3] = {right[1] * ahead[2] - right[2] * ahead[1], right[2] * ahead[0] - right[0] * ahead[2],
                    right[0] * ahead[1] - right[1] * ahead[0]};
    for (int i = 0; i < 3; i++) {
        pose.ahead[i] = ahead[i], pose.at[i] = target[i] - far * ahead[i];
        pose.right[i] = cos(roll) * right[i] + sin(roll) * up[i];
        pose.up[i] = cos(roll) * up[i] - sin(roll) * right[i];
    }
    return pose;
}

/* Where the lens shows it: the distance r at which r (1 + k1 r^2) is what the pinhole has. */
static struct point through_lens(const struct scene *scene, double x, double y, double half)
{
    double far = hypot(x, y) / half, r = far;
    for (int i = 0; i < 50; i++) r = far / (1 + scene->k1 * r * r);
    double times = far > 0 ? r / far : 1;
    return (struct point){x * times, y * times};
}

static struct point scene_project(const struct scene *scene, const struct pose *pose, struct point p)
{
    double to[3] = {p.x - pose->at[0], p.y - pose->at[1], -pose->at[2]}, x = 0, y = 0, z = 0;
    for (int i = 0; i < 3; i++)
        x += to[i] * pose->right[i], y += to[i] * pose->up[i], z += to[i] * pose->ahead[i];
    double half = hypot(scene->order.width_px, scene->order.height_px) / 2;
    struct point seen = through_lens(scene, scene->focal_px * x / z, scene->focal_px * y / z, half);
    return (struct point){scene->order.width_px / 2 + seen.x, scene->order.height_px / 2 - seen.y};
}

double scene_length(const struct scene *scene, size_t length)
{
    struct point a = scene->truth[scene->lengths[length].from], b = scene->truth[scene->lengths[length].to];
    return hypot(b.x - a.x, b.y - a.y);
}

/* The corners first, then places between; far apart. */
static void marks_place(struct scene *scene)
{
    static const struct point corners[] = {{60, 120}, {5150, 140}, {5100, 1800}, {90, 1760}};
    for (size_t i = 0; i < scene->mark_count; i++) {
        struct point *p = &scene->truth[i];
        if (i < 4)
            *p = (struct point){corners[i].x + between(&scene->dice, -50, 50),
                                corners[i].y + between(&scene->dice, -50, 50)};
        else
            *p = (struct point){between(&scene->dice, 500, 4700), between(&scene->dice, 150, 1750)};
    }
}

/* Sides and diagonals first, then from each further mark to the corners. */
static void lengths_place(struct scene *scene, size_t taped, double tape_sd_mm)
{
    static const size_t pairs[][2] = {{0, 1}, {1, 2}, {2, 3}, {3, 0}, {0, 2}, {1, 3}};
    scene->length_count = 0;
    for (size_t i = 0; i < 6; i++)
        scene->lengths[scene->length_count++] = (struct sight_length){pairs[i][0], pairs[i][1], NAN, NAN};
    for (size_t round = 0; round < 4; round++)
        for (size_t i = 4; i < scene->mark_count && scene->length_count < SCENE_LENGTHS_MOST; i++)
            scene->lengths[scene->length_count++] = (struct sight_length){i, (i + round) % 4, NAN, NAN};
    for (size_t i = 0; i < scene->length_count && i < taped; i++) {
        scene->lengths[i].sd_mm = tape_sd_mm;
        scene->lengths[i].taped_mm = scene_length(scene, i) + tape_sd_mm * dice_normal(&scene->dice);
    }
}

void scene_make(struct scene *scene, uint64_t seed, size_t marks, size_t taped, double tape_sd_mm,
                double mark_px)
{
    static const char *const names[] = {"A", "B", "C", "D", "E", "F", "G", "H", "I", "J", "K", "L"};
    *scene = (struct scene){.dice = seed * UINT64_C(0x9E3779B97F4A7C15) + 1, .mark_count = marks};
    memcpy(scene->names, names, sizeof names);
    scene->order = (struct sight_order){.width_px = 4000, .height_px = 3000, .mark_px = mark_px};
    for (int i = 0; i < 8; i++) dice_uniform(&scene->dice);
    scene->focal_px = between(&scene->dice, 2600, 3600);
    scene->k1 = 0.01 * dice_normal(&scene->dice);
    marks_place(scene);
    lengths_place(scene, taped, tape_sd_mm);
    struct pose pose = pose_make(scene);
    for (size_t i = 0; i < marks; i++) {
        struct point seen = scene_project(scene, &pose, scene->truth[i]);
        scene->seen[i] = (struct point){seen.x + mark_px * dice_normal(&scene->dice),
                                        seen.y + mark_px * dice_normal(&scene->dice)};
    }
    scene->order.names = scene->names, scene->order.marks = scene->seen, scene->order.mark_count = marks;
    scene->order.lengths = scene->lengths, scene->order.length_count = scene->length_count;
}
