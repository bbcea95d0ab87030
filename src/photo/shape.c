/* Shapes on a photo: circle and polygon. */
#include <math.h>
#include <string.h>

#include "farhue/pixels.h"

fh_shape fh_shape_circle(fh_point centre, double radius)
{
    fh_shape shape;
    memset(&shape, 0, sizeof shape);
    shape.radius = radius;
    shape.points[0] = centre;
    return shape;
}

fh_shape fh_shape_rectangle(double x, double y, double width, double height)
{
    fh_shape shape;
    memset(&shape, 0, sizeof shape);
    shape.count = 4;
    shape.points[0] = (fh_point){x, y};
    shape.points[1] = (fh_point){x + width, y};
    shape.points[2] = (fh_point){x + width, y + height};
    shape.points[3] = (fh_point){x, y + height};
    return shape;
}

/* Even-odd rule along the horizontal ray to the right. */
static bool polygon_contains(const fh_shape *shape, fh_point p)
{
    bool inside = false;
    for (size_t i = 0, j = shape->count - 1; i < shape->count; j = i++) {
        const fh_point a = shape->points[i];
        const fh_point b = shape->points[j];
        if ((a.y > p.y) == (b.y > p.y)) continue;
        if (p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x) inside = !inside;
    }
    return inside;
}

bool fh_shape_contains(const fh_shape *shape, fh_point point)
{
    if (shape->count > 0) return polygon_contains(shape, point);
    return hypot(point.x - shape->points[0].x, point.y - shape->points[0].y) <= shape->radius;
}

fh_point fh_shape_centre(const fh_shape *shape)
{
    if (shape->count == 0) return shape->points[0];
    fh_point sum = {0.0, 0.0};
    for (size_t i = 0; i < shape->count; i++) {
        sum.x += shape->points[i].x;
        sum.y += shape->points[i].y;
    }
    sum.x /= (double)shape->count;
    sum.y /= (double)shape->count;
    return sum;
}
