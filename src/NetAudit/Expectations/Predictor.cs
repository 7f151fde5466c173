using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;
using NetAudit.Expectations.Scenes;

namespace NetAudit.Expectations;

/// <summary>
/// Predicts a fixed list of readings, taken in one or several conditions, for whatever state the unit is put in: the mean, and the
/// derivatives with respect to every spread term, whitened (per standard deviation). Each reading is on the scale of its kind
/// (<see cref="RowScale"/>). Buffers are reused; nothing is allocated after construction. One per thread.
/// </summary>
internal sealed class Predictor
{
    private readonly ScenePredictor[] _scenes;
    private readonly PredictorColumns _columns;
    private readonly Row[] _rows;
    private readonly double[] _gainSigmas;
    private readonly double[] _values;
    private readonly double[] _raw;
    private readonly double[] _bends;
    private readonly int _nodes;

    /// <param name="groups">The scenes with their readings, of each scene in order of kind.</param>
    /// <param name="spread">The spreads of healthy units.</param>
    /// <param name="meter">The meter.</param>
    /// <param name="isRough">Whether it only foretells what is worth predicting in full.</param>
    public Predictor(
        ImmutableArray<(Scene Scene, ImmutableArray<Row> Rows)> groups,
        SpreadModel spread,
        Meter meter,
        bool isRough = false
    )
    {
        var compiled = groups[0].Scene.Compiled;
        _rows = [.. groups.SelectMany(g => g.Rows)];
        _nodes = compiled.Circuit.Nodes.Length;
        _columns = new(compiled, _rows.Any(r => r.Kind == ReadingKind.Ac));
        var acting = spread
            .Terms.Where(t => t.Parameters.All(p => _columns.ColumnOf[p] >= 0))
            .ToImmutableArray();
        var terms = SceneSpreads.Of(acting, [.. groups.Select(g => g.Scene)]);
        _scenes = new ScenePredictor[groups.Length];
        for (int i = 0, first = 0; i < groups.Length; first += groups[i].Rows.Length, i++)
        {
            _scenes[i] = new(
                groups[i].Scene,
                groups[i].Rows,
                first,
                _columns,
                terms[i],
                meter.OhmsTestVolts,
                isRough
            );
        }
        Terms = terms[0].Length;
        TermNames = [.. terms[0].Select(term => term.Name)];
        Deviations = Terms + Kinds + 1;
        // Rows padded to whole vectors of four.
        Width = (Deviations + 3) / 4 * 4;
        _gainSigmas =
        [
            meter.GainSigma(ReadingKind.Dc),
            meter.GainSigma(ReadingKind.Ac),
            meter.GainSigma(ReadingKind.Ohms),
        ];
        _values = new double[_rows.Length];
        _raw = new double[_rows.Length * _columns.All.Length];
        _bends = new double[_rows.Length];
        Mean = new double[_rows.Length];
        Jacobian = new double[_rows.Length * Width];
    }

    /// <summary>Functions of the meter, each with a gain error of its own.</summary>
    private const int Kinds = 3;

    /// <summary>
    /// One sigma of ln(test current of the ohmmeter), which counts where a junction conducts: makers' ranges differ, and junctions at a
    /// tenth of a volt are not well known either (common practice, no source).
    /// </summary>
    private const double TestCurrentSigma = 0.7;

    /// <summary>The scenes, each with its own workspace.</summary>
    public ReadOnlySpan<ScenePredictor> Scenes => _scenes;

    /// <summary>The readings.</summary>
    public ReadOnlySpan<Row> Rows => _rows;

    /// <summary>Number of readings.</summary>
    public int Readings => _rows.Length;

    /// <summary>Number of spread terms.</summary>
    public int Terms { get; }

    /// <summary>Names of the spread terms, each once.</summary>
    public ImmutableArray<string> TermNames { get; }

    /// <summary>Number of spread amounts: one a term and, last, the meter's gain errors and its test current.</summary>
    public int Deviations { get; }

    /// <summary>Row length of <see cref="Jacobian"/>; at least <see cref="Deviations"/>, the rest zero.</summary>
    public int Width { get; }

    /// <summary>Number of parameter columns of <see cref="Raw"/>; the columns of edits follow.</summary>
    public int ParameterColumns => _columns.Parameters;

    /// <summary>Row length of <see cref="Raw"/> after the last <see cref="Read"/>.</summary>
    public int RawWidth { get; private set; }

    /// <summary>Predicted readings, [readings].</summary>
    public double[] Mean { get; }

    /// <summary>d(reading)/d(spread amount) per sigma, [readings x Width].</summary>
    public double[] Jacobian { get; }

    /// <summary>d(reading)/d(parameter or edit) per SI unit, [readings x RawWidth].</summary>
    public ReadOnlySpan<double> Raw => _raw;

    /// <summary>Number of node voltages of all scenes together.</summary>
    public int StateLength => _scenes.Length * _nodes;

    /// <summary>Column of a solver parameter in <see cref="Raw"/>.</summary>
    public int ColumnOf(int parameter) => _columns.ColumnOf[parameter];

    /// <summary>The node voltages of one scene in a state of all.</summary>
    public ReadOnlySpan<double> Part(ReadOnlySpan<double> state, int scene) =>
        state.IsEmpty ? state : state.Slice(scene * _nodes, _nodes);

    /// <summary>Copies the node voltages last solved, scene by scene.</summary>
    public void CopyState(Span<double> state)
    {
        for (var i = 0; i < _scenes.Length; i++)
        {
            _scenes[i].Workspace.Volts.CopyTo(state[(i * _nodes)..]);
        }
    }

    /// <summary>Puts every scene into the healthy state with the given spread amounts.</summary>
    /// <param name="amounts">In standard deviations, [Deviations]; empty for nominal.</param>
    public void Restore(ReadOnlySpan<double> amounts)
    {
        foreach (var scene in _scenes)
        {
            scene.Restore(amounts);
            scene.AddLinks();
        }
    }

    /// <summary>Solves every scene.</summary>
    /// <param name="start">Node voltages to start from, scene by scene; empty for a cold start.</param>
    /// <param name="cancellationToken">Cancels.</param>
    /// <returns>True when all settled.</returns>
    public bool Solve(ReadOnlySpan<double> start, CancellationToken cancellationToken)
    {
        for (var i = 0; i < _scenes.Length; i++)
        {
            if (!_scenes[i].Workspace.Solve(Part(start, i), cancellationToken).Converged)
            {
                return false;
            }
        }
        return true;
    }

    /// <summary>Fills <see cref="Mean"/> only, from the solved workspaces.</summary>
    public void ReadMean()
    {
        foreach (var scene in _scenes)
        {
            scene.ReadValues(_values.AsSpan(scene.First, scene.Rows.Length));
        }
        for (var i = 0; i < Mean.Length; i++)
        {
            Mean[i] = RowScale.Of(_rows[i], _values[i]);
        }
    }

    /// <summary>Fills <see cref="Mean"/>, <see cref="Raw"/> and <see cref="Jacobian"/> from the solved workspaces.</summary>
    /// <param name="edits">Number of edits that faults made; their derivatives are the last columns of <see cref="Raw"/>.</param>
    public void Read(int edits)
    {
        RawWidth = ParameterColumns + edits;
        Array.Clear(Jacobian);
        foreach (var scene in _scenes)
        {
            scene.Read(
                _values.AsSpan(scene.First, scene.Rows.Length),
                _raw.AsSpan(scene.First * RawWidth, scene.Rows.Length * RawWidth),
                RawWidth
            );
            for (var i = scene.First; i < scene.First + scene.Rows.Length; i++)
            {
                var kind = _rows[i].Kind;
                var raw = _raw.AsSpan(i * RawWidth, RawWidth);
                Mean[i] = RowScale.Of(_rows[i], _values[i]);
                if (kind != ReadingKind.Dc)
                {
                    var slope = RowScale.Slope(_rows[i], _values[i]);
                    for (var k = 0; k < raw.Length; k++)
                    {
                        raw[k] *= slope;
                    }
                }
                var row = Jacobian.AsSpan(i * Width, Width);
                scene.AddSpreads(raw[..ParameterColumns], row);
                row[Terms + (int)kind] = GainSlope(i);
                _bends[i] = kind == ReadingKind.Ohms ? TestSlope(i, scene) : 0;
                row[Terms + Kinds] = _bends[i];
            }
        }
    }

    /// <summary>Whether a reading as last differentiated is a level told with a sign that no meter shows.</summary>
    public bool IsSigned(int reading)
    {
        foreach (var scene in _scenes)
        {
            if (reading < scene.First + scene.Rows.Length)
            {
                return scene.IsSigned(reading - scene.First);
            }
        }
        return false;
    }

    /// <summary>What the meter's gain errors add to a reading as last predicted, and its test current as last differentiated.</summary>
    public double MeterShift(int reading, ReadOnlySpan<double> amounts) =>
        amounts[Terms + (int)_rows[reading].Kind] * GainSlope(reading)
        + amounts[Terms + Kinds] * _bends[reading];

    private double TestSlope(int reading, ScenePredictor scene)
    {
        var bend = scene.Bend(reading - scene.First);
        return bend == 0
            ? 0
            : TestCurrentSigma
                * bend
                * _values[reading]
                * RowScale.Slope(_rows[reading], _values[reading]);
    }

    private double GainSlope(int reading)
    {
        var kind = _rows[reading].Kind;
        var value = double.IsFinite(_values[reading]) ? _values[reading] : 0;
        return _gainSigmas[(int)kind] * value * RowScale.Slope(_rows[reading], value);
    }
}
