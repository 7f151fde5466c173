using System.Collections.Immutable;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation;

namespace NetAudit.Expectations;

/// <summary>
/// Predicts the readings of one scene for whatever state its workspace is put in. Writes into the rows of the arrays that its
/// <see cref="Predictor"/> owns; nothing is allocated after construction. One per thread.
/// </summary>
internal sealed class ScenePredictor
{
    private const double LinkOhms = 0.05;

    private readonly ImmutableArray<SpreadTerm> _terms;
    private readonly int[] _columns;
    private readonly int[] _columnOf;
    private readonly int[] _termOf;
    private readonly double[] _scale;
    private readonly bool[] _fixed;
    private readonly double[] _sigmas;
    private readonly Probe[] _voltmeters;
    private readonly SignalReader? _signals;

    /// <param name="scene">The scene.</param>
    /// <param name="rows">Its readings.</param>
    /// <param name="first">Index of the first of them among all readings.</param>
    /// <param name="layout">Columns shared by all scenes.</param>
    /// <param name="terms">Every spread amount in order; those that do not act in this scene have no parameters.</param>
    /// <param name="testVolts">Most volts of an ohmmeter across its probes.</param>
    /// <param name="isRough">Whether it only foretells what is worth predicting in full.</param>
    public ScenePredictor(
        Scene scene,
        ImmutableArray<Row> rows,
        int first,
        PredictorColumns layout,
        ImmutableArray<SpreadTerm> terms,
        double testVolts,
        bool isRough
    )
    {
        Scene = scene;
        Rows = rows;
        First = first;
        Workspace = new(scene.Compiled) { IsRough = isRough };
        _terms = terms;
        _columns = layout.All;
        _columnOf = layout.ColumnOf;
        _termOf = new int[layout.Parameters];
        _scale = new double[layout.Parameters];
        _fixed = new bool[layout.Parameters];
        _sigmas = new double[layout.Parameters];
        Array.Fill(_termOf, -1);
        for (var term = 0; term < terms.Length; term++)
        {
            foreach (var parameter in terms[term].Parameters)
            {
                _termOf[_columnOf[parameter]] = term;
            }
        }
        _voltmeters =
        [
            .. rows.Where(r => r.Kind == ReadingKind.Dc)
                .Select(r => new Probe(r.Node, r.RefNode, r.MeterOhms)),
        ];
        _signals =
            rows.Length > _voltmeters.Length
                ? new(scene, Workspace, rows, layout, testVolts)
                : null;
    }

    /// <summary>The scene.</summary>
    public Scene Scene { get; }

    /// <summary>Its readings: volts DC first, then levels, then resistances.</summary>
    public ImmutableArray<Row> Rows { get; }

    /// <summary>Index of the first of its readings among all readings.</summary>
    public int First { get; }

    /// <summary>The workspace that is altered and solved.</summary>
    public Workspace Workspace { get; }

    /// <summary>The voltmeters of its DC readings.</summary>
    public ReadOnlySpan<Probe> Voltmeters => _voltmeters;

    /// <summary>Puts the workspace into the healthy state with the given spread amounts, without the scene's links.</summary>
    /// <param name="amounts">In standard deviations, one a term; empty for nominal.</param>
    public void Restore(ReadOnlySpan<double> amounts)
    {
        Workspace.Restore();
        foreach (var (parameter, value) in Scene.Settings)
        {
            Workspace.Set(parameter, value);
        }
        Array.Clear(_fixed);
        for (var term = 0; term < _terms.Length; term++)
        {
            var description = _terms[term];
            var amount = amounts.IsEmpty ? 0 : amounts[term];
            foreach (var parameter in description.Parameters)
            {
                var nominal = Workspace.Get(parameter);
                var value = description.IsFactor
                    ? nominal * Math.Exp(description.Sigma * amount)
                    : nominal + description.Sigma * amount;
                if (amount != 0)
                {
                    Workspace.Set(parameter, value);
                }
                _scale[_columnOf[parameter]] =
                    description.Sigma * (description.IsFactor ? value : 1);
            }
        }
    }

    /// <summary>Sets a parameter to a fault's value: it no longer spreads.</summary>
    /// <returns>The value that it has in this scene.</returns>
    public double Override(int parameter, double value)
    {
        var here = Scene.ValueHere(parameter, value);
        Workspace.Set(parameter, here);
        if (_columnOf[parameter] >= 0)
        {
            _fixed[_columnOf[parameter]] = true;
        }
        return here;
    }

    /// <summary>Puts the scene's links in, after the edits of the faults.</summary>
    public void AddLinks()
    {
        foreach (var (a, b) in Scene.Links)
        {
            Workspace.Bridge(a, b, LinkOhms);
        }
    }

    /// <summary>Fills the means of its readings, in volts or ohms; NaN where there is no answer.</summary>
    /// <param name="values">One a reading of this scene.</param>
    public void ReadValues(Span<double> values)
    {
        Workspace.Read(_voltmeters, [], values[.._voltmeters.Length], []);
        _signals?.Read(values, [], 0, []);
    }

    /// <summary>Fills the means of its readings and their derivatives by every column.</summary>
    /// <param name="values">Volts or ohms, one a reading of this scene; NaN where there is no answer.</param>
    /// <param name="raw">[readings x width], per SI unit of each column.</param>
    /// <param name="width">Columns wanted: the parameters and the edits of the faults.</param>
    public void Read(Span<double> values, Span<double> raw, int width)
    {
        Workspace.Read(
            _voltmeters,
            _columns.AsSpan(0, width),
            values[.._voltmeters.Length],
            raw[..(_voltmeters.Length * width)]
        );
        if (_signals is not null)
        {
            for (var column = 0; column < _sigmas.Length; column++)
            {
                _sigmas[column] = _termOf[column] < 0 || _fixed[column] ? 0 : _scale[column];
            }
            _signals.Read(values, raw, width, _sigmas);
        }
    }

    /// <summary>Whether a reading of this scene is a level told with a sign that no meter shows.</summary>
    public bool IsSigned(int reading) => _signals?.IsSigned(reading) ?? false;

    /// <summary>d(ln ohms)/d(ln test current) of a reading of this scene as last differentiated; 0 but for junctions.</summary>
    public double Bend(int reading) => _signals?.Bend(reading) ?? 0;

    /// <summary>Adds up what each spread amount does to one reading.</summary>
    /// <param name="raw">Its derivatives by parameter.</param>
    /// <param name="row">Per standard deviation, one a term; cleared beforehand.</param>
    public void AddSpreads(ReadOnlySpan<double> raw, Span<double> row)
    {
        for (var column = 0; column < _termOf.Length; column++)
        {
            var term = _termOf[column];
            if (term >= 0 && !_fixed[column])
            {
                row[term] += raw[column] * _scale[column];
            }
        }
    }
}
