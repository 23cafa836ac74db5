// Reads DXF files with two readers of the npm registry and writes what they tell as JSON lines.
// Usage: node in_node.js LIST RESULT, with NODE_PATH at the folder of the modules.
const fs = require('fs');
const Parser = require('dxf-parser');
const { Helper } = require('dxf');

const hex = (number) => '#' + number.toString(16).padStart(6, '0');

// dxf-parser hands out the entities as they stand in the file.
function parserShapes(parsed) {
  return parsed.entities.map((entity) => {
    const layer = entity.layer;
    const shape = { layer, pen: hex(parsed.tables.layer.layers[layer].color), points: [] };
    if (entity.type === 'CIRCLE' || entity.type === 'ARC') {
      const start = entity.startAngle ?? 0;
      const sweep = entity.angleLength ?? 2 * Math.PI;
      const turn = sweep < 0 ? sweep + 2 * Math.PI : sweep;
      shape.arc = [[entity.center.x, entity.center.y], entity.radius, start, turn];
    } else if (entity.type === 'ELLIPSE') {
      shape.points = ellipse(entity);
    } else if (entity.vertices) {
      shape.points = entity.vertices.map((vertex) => [vertex.x, vertex.y, vertex.bulge ?? 0]);
      if (entity.shape) shape.points.push(shape.points[0]);
    } else {
      throw new Error(`dxf-parser hands out ${entity.type}`);
    }
    return shape;
  });
}

function ellipse(entity) {
  const { center, majorAxisEndPoint: axis, axisRatio: ratio, startAngle, endAngle } = entity;
  const sweep = endAngle > startAngle ? endAngle - startAngle : endAngle - startAngle + 2 * Math.PI;
  return Array.from({ length: 2049 }, (_, k) => {
    const angle = startAngle + (sweep * k) / 2048;
    const [c, s] = [Math.cos(angle), ratio * Math.sin(angle)];
    return [center.x + axis.x * c - axis.y * s, center.y + axis.y * c + axis.x * s];
  });
}

// dxf makes polylines of everything itself.
function helperShapes(helper) {
  return helper.toPolylines().polylines.map((line) => ({
    layer: line.layer.name,
    pen: '#' + line.rgb.map((part) => part.toString(16).padStart(2, '0')).join(''),
    points: line.vertices,
  }));
}

function attempt(read) {
  try {
    return read();
  } catch (error) {
    return String(error);
  }
}

const [list, result] = process.argv.slice(2);
const lines = fs.readFileSync(list, 'utf8').split('\n').map((path) => {
  const text = fs.readFileSync(path, 'utf8');
  return JSON.stringify({
    path,
    'dxf-parser': attempt(() => {
      const parsed = new Parser().parseSync(text);
      return { unit: parsed.header.$INSUNITS ?? null, shapes: parserShapes(parsed) };
    }),
    dxf: attempt(() => ({ unit: null, shapes: helperShapes(new Helper(text)) })),
  });
});
fs.writeFileSync(result, lines.join('\n'));
