namespace NetAudit.Bench.Sketches;

/// <summary>
/// Places nodes and devices of a stage in columns by their distance from the input, and in a column from high voltage to low; what leads to
/// chassis hangs below its node. Deterministic.
/// </summary>
internal sealed class SketchLayout
{
    private const double Column = 190;
    private const double Hanger = 112;
    private const double HangerLength = 120;
    private const double Spacing = 112;
    private const double Margin = 80;
    private const double Bow = 34;

    /// <summary>Where what hangs side by side parts below its node.</summary>
    private const double Stem = 22;

    /// <summary>On the scale of heights a volt more counts the less the higher it is.</summary>
    private const double VoltScale = 10;

    private readonly SketchUnit[] _units;
    private readonly Dictionary<int, Spot> _nodes = [];
    private readonly Dictionary<int, Spot> _devices = [];

    public SketchLayout(SketchUnit[] units, int input, Func<int, double> volts)
    {
        _units = units;
        Nodes = [.. units.SelectMany(NodesOf).Distinct().Order()];
        var columns = Columns(input);
        var (x, lowest) = (Margin, Margin);
        var tallest = Math.Max(2, columns.Select(column => column.Count).DefaultIfEmpty(0).Max());
        double Up(double at) => Math.Asinh(at / VoltScale);
        var (least, most) = (
            Up(Nodes.Select(volts).Append(0).Min()),
            Up(Nodes.Select(volts).Append(1).Max())
        );
        var span = (tallest - 1) * (Spacing + 40);
        foreach (var column in columns)
        {
            var y = double.NegativeInfinity;
            foreach (var cell in column.OrderByDescending(cell => Volts(cell, volts)))
            {
                var up = (Up(Volts(cell, volts)) - least) / (most - least);
                y = Math.Max(Margin + span * (1 - up), y);
                if (cell.IsDevice)
                {
                    _devices[cell.Index] = new(x, y);
                }
                else
                {
                    _nodes[cell.Index] = new(x, y);
                }
                lowest = Math.Max(lowest, y);
                y += Spacing + (Hangers(cell).Length > 0 ? HangerLength : 0);
            }
            x +=
                Column
                + Hanger * column.Select(cell => Hangers(cell).Length).DefaultIfEmpty(0).Max();
        }
        (Width, Height) = (x, lowest + HangerLength + Margin);
    }

    /// <summary>Nodes, chassis not among them.</summary>
    public int[] Nodes { get; }

    public double Width { get; }

    public double Height { get; }

    public Spot OfNode(int node) => _nodes[node];

    public Spot OfDevice(int unit) => _devices[unit];

    /// <summary>Both ends of a part, whether its end hangs to chassis, and how far its middle stands off the straight line.</summary>
    public (Spot From, Spot To, bool IsToChassis, double Bow) OfPart(int unit)
    {
        var nodes = NodesOf(_units[unit]).ToArray();
        var from = _nodes[nodes[0]];
        if (nodes.Length == 1)
        {
            var place = Array.IndexOf(Hangers(new(false, nodes[0])), unit);
            var x = from.X + Hanger * place;
            return (new(x, from.Y + Stem), new(x, from.Y + HangerLength), true, 0);
        }
        var beside = Enumerable
            .Range(0, _units.Length)
            .Where(other =>
                !_units[other].IsDevice && NodesOf(_units[other]).ToHashSet().SetEquals(nodes)
            )
            .ToArray();
        var to = _nodes[nodes[1]];
        var between = _nodes
            .Values.Concat(_devices.Values)
            .Any(spot => spot != from && spot != to && IsBetween(spot, from, to));
        var bow = Bow * (Array.IndexOf(beside, unit) - (beside.Length - 1) / 2.0);
        return (from, to, false, between ? bow + 1.5 * Bow : bow);
    }

    private static bool IsBetween(Spot spot, Spot from, Spot to)
    {
        var (dx, dy) = (to.X - from.X, to.Y - from.Y);
        var along = ((spot.X - from.X) * dx + (spot.Y - from.Y) * dy) / (dx * dx + dy * dy);
        if (along is < 0.1 or > 0.9)
        {
            return false;
        }
        var (offX, offY) = (spot.X - from.X - along * dx, spot.Y - from.Y - along * dy);
        return Math.Sqrt(offX * offX + offY * offY) < 30;
    }

    private static IEnumerable<int> NodesOf(SketchUnit unit) =>
        unit.Ends.Select(end => end.Node).Where(node => node > 0).Distinct();

    /// <summary>Parts that hang from a node to chassis.</summary>
    private int[] Hangers(Cell cell) =>
        cell.IsDevice
            ? []
            :
            [
                .. Enumerable
                    .Range(0, _units.Length)
                    .Where(i =>
                        !_units[i].IsDevice && NodesOf(_units[i]).SequenceEqual([cell.Index])
                    ),
            ];

    private double Volts(Cell cell, Func<int, double> volts) =>
        cell.IsDevice
            ? NodesOf(_units[cell.Index]).Select(volts).DefaultIfEmpty(0).Average()
            : volts(cell.Index);

    /// <summary>Cells by distance from the input; islands begin at the left.</summary>
    private List<List<Cell>> Columns(int input)
    {
        var distance = new Dictionary<Cell, int>();
        void Spread(Cell start)
        {
            if (!distance.TryAdd(start, 0))
            {
                return;
            }
            var queue = new Queue<Cell>([start]);
            while (queue.TryDequeue(out var cell))
            {
                foreach (var next in Beside(cell))
                {
                    if (distance.TryAdd(next, distance[cell] + 1))
                    {
                        queue.Enqueue(next);
                    }
                }
            }
        }
        if (Nodes.Contains(input))
        {
            Spread(new(false, input));
        }
        foreach (var node in Nodes)
        {
            Spread(new(false, node));
        }
        return
        [
            .. distance
                .GroupBy(pair => pair.Value, pair => pair.Key)
                .OrderBy(group => group.Key)
                .Select(group => group.OrderBy(cell => cell.Index).ToList()),
        ];
    }

    private IEnumerable<Cell> Beside(Cell cell)
    {
        if (cell.IsDevice)
        {
            return NodesOf(_units[cell.Index]).Select(node => new Cell(false, node));
        }
        return Enumerable
            .Range(0, _units.Length)
            .Where(i => NodesOf(_units[i]).Contains(cell.Index))
            .SelectMany(i =>
                _units[i].IsDevice
                    ? [new Cell(true, i)]
                    : NodesOf(_units[i])
                        .Where(node => node != cell.Index)
                        .Select(node => new Cell(false, node))
            );
    }

    /// <summary>A node or, by index of its unit, a device.</summary>
    private readonly record struct Cell(bool IsDevice, int Index);
}
