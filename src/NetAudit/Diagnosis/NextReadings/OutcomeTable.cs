using System.Collections.Immutable;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;

namespace NetAudit.Diagnosis.NextReadings;

/// <summary>
/// What each suspect predicts for each candidate reading, given the readings taken: mean, and standard deviation of what spreads, fault
/// values and the meter leave open.
/// </summary>
/// <remarks>
/// With the spreads and free values z ~ N(0, 1), J of the readings taken and j of the candidate, and inv(L) the whitening of
/// S = J J' + D: the variance of the candidate is own^2 + j.j - |inv(L) J j|^2 (conditioning of a joint normal distribution).
/// </remarks>
internal sealed class OutcomeTable
{
    private const double Unpredictable = 1e6;

    private readonly ImmutableArray<ReadingCandidate> _candidates;
    private readonly ReadingEvidence _evidence;
    private readonly ImmutableArray<(Scene Scene, ImmutableArray<Row> Rows)> _groups;
    private readonly HealthyUnit _healthy;
    private readonly int[] _rowOfTaken;
    private readonly int[] _rowOfCandidate;
    private readonly int[] _sceneOfCandidate;
    private readonly ImmutableArray<string> _termsBefore;
    private readonly double[] _start;

    /// <param name="healthy">The unit without faults.</param>
    /// <param name="selection">The readings taken.</param>
    /// <param name="before">The predictor of those, which evaluations' spread amounts belong to.</param>
    /// <param name="candidates">The candidates.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public OutcomeTable(
        HealthyUnit healthy,
        ReadingSelection selection,
        Predictor before,
        IReadOnlyList<ReadingCandidate> candidates,
        CancellationToken cancellationToken
    )
    {
        _healthy = healthy;
        _evidence = new(selection.Weighed, 0);
        _candidates = [.. candidates];
        var scenes = selection.Groups.Select(g => g.Scene).Concat(candidates.Select(c => c.Scene));
        var rows = new List<(Scene Scene, Row Row, int Taken, int Candidate)>();
        var taken = 0;
        foreach (var (scene, groupRows) in selection.Groups)
        {
            rows.AddRange(groupRows.Select(row => (scene, row, taken++, -1)));
        }
        rows.AddRange(candidates.Select((c, i) => (c.Scene, c.Row, -1, i)));
        var groups = scenes
            .Distinct()
            .Select(scene =>
                (
                    Scene: scene,
                    Rows: rows.Where(r => r.Scene == scene).OrderBy(r => r.Row.Kind).ToArray()
                )
            )
            .ToArray();
        _sceneOfCandidate =
        [
            .. candidates.Select(c => Array.FindIndex(groups, group => group.Scene == c.Scene)),
        ];
        var order = groups.SelectMany(g => g.Rows).ToArray();
        _rowOfTaken = new int[taken];
        _rowOfCandidate = new int[_candidates.Length];
        for (var i = 0; i < order.Length; i++)
        {
            if (order[i].Taken >= 0)
            {
                _rowOfTaken[order[i].Taken] = i;
            }
            else
            {
                _rowOfCandidate[order[i].Candidate] = i;
            }
        }
        _groups = [.. groups.Select(g => (g.Scene, g.Rows.Select(r => r.Row).ToImmutableArray()))];
        _start = [.. groups.SelectMany(g => healthy.VoltsIn(g.Scene, cancellationToken)!)];
        _termsBefore = before.TermNames;
    }

    /// <summary>A circuit to predict with: one for each processor that does.</summary>
    public FaultedCircuit NewCircuit() => new(new(_groups, _healthy.Spread, _healthy.Meter));

    /// <summary>Fills what one suspect predicts.</summary>
    /// <param name="circuit">A circuit of this table's, in whatever state.</param>
    /// <param name="evaluation">The suspect.</param>
    /// <param name="means">On the scale of each candidate's kind.</param>
    /// <param name="sigmas">Standard deviations.</param>
    /// <param name="cancellationToken">Cancels.</param>
    /// <returns>False when the circuit did not settle in one of the conditions.</returns>
    public bool Predict(
        FaultedCircuit circuit,
        Evaluation evaluation,
        Span<double> means,
        Span<double> sigmas,
        CancellationToken cancellationToken
    )
    {
        var predictor = circuit.Predictor;
        var amounts = new double[predictor.Deviations];
        if (!evaluation.Amounts.IsEmpty)
        {
            var amountOf = _termsBefore
                .Zip(evaluation.Amounts)
                .ToDictionary(t => t.First, t => t.Second);
            for (var term = 0; term < predictor.Terms; term++)
            {
                amounts[term] = amountOf.GetValueOrDefault(predictor.TermNames[term]);
            }
        }
        var logValues = evaluation.Values.Select(Math.Log).ToArray();
        if (!circuit.Solve(evaluation.Set, logValues, amounts, _start, cancellationToken))
        {
            return false;
        }
        predictor.Read(circuit.Edits);
        var free = evaluation.Set.Members.Count(m => m.Range.IsContinuous);
        var width = (predictor.Deviations + free + 3) / 4 * 4;
        var past = new double[_evidence.Own.Length * width];
        var own = new double[_evidence.Own.Length];
        for (var i = 0; i < _evidence.Own.Length; i++)
        {
            FillRow(circuit, evaluation.Set, _rowOfTaken[i], past.AsSpan(i * width, width));
            own[i] = evaluation.Slips.Contains(i) ? _evidence.SlipSigma[i] : _evidence.Own[i];
        }
        var gaussian = new GaussianEvidence(_evidence.Own.Length);
        gaussian.Decompose(past, width, own);
        gaussian.Whiten(past, width);
        var row = new double[width];
        for (var i = 0; i < _candidates.Length; i++)
        {
            var at = _rowOfCandidate[i];
            means[i] = predictor.Mean[at];
            FillRow(circuit, evaluation.Set, at, row);
            var variance = DenseRows.Dot(row, row);
            for (var j = 0; j < _evidence.Own.Length; j++)
            {
                var along = DenseRows.Dot(past.AsSpan(j * width, width), row);
                variance -= along * along;
            }
            var error =
                _candidates[i].OwnSigma
                ?? _healthy.Meter.OwnSigma(
                    _candidates[i].Row,
                    RowScale.Value(_candidates[i].Row, means[i])
                );
            sigmas[i] = Math.Sqrt(Math.Max(0, variance) + error * error);
            if (!double.IsFinite(means[i]) || !double.IsFinite(sigmas[i]))
            {
                // What cannot be predicted tells nothing.
                (means[i], sigmas[i]) = (0, Unpredictable);
            }
        }
        return true;
    }

    /// <summary>Fills the most volts against chassis that each candidate touches, of the suspect last predicted.</summary>
    /// <param name="circuit">The circuit that it was predicted with.</param>
    /// <param name="volts">One a candidate.</param>
    public void ReadTouched(FaultedCircuit circuit, Span<double> volts)
    {
        for (var i = 0; i < volts.Length; i++)
        {
            var scene = circuit.Predictor.Scenes[_sceneOfCandidate[i]];
            volts[i] = _candidates[i].MostVolts(scene.Workspace.Volts);
        }
    }

    /// <summary>Derivatives of a reading by spreads, meter gains and free fault values, each per standard deviation.</summary>
    private static void FillRow(FaultedCircuit circuit, FaultSet set, int reading, Span<double> row)
    {
        var predictor = circuit.Predictor;
        row.Clear();
        predictor.Jacobian.AsSpan(reading * predictor.Width, predictor.Deviations).CopyTo(row);
        var scene = 0;
        while (reading >= predictor.Scenes[scene].First + predictor.Scenes[scene].Rows.Length)
        {
            scene++;
        }
        foreach (var (member, column, size) in circuit.EffectsIn(scene))
        {
            var range = set.Members[member].Range;
            if (range.IsContinuous)
            {
                var place = predictor.Deviations + FreeIndex(set, member);
                // A flat prior of that width has the variance of width^2 / 12.
                row[place] +=
                    predictor.Raw[reading * predictor.RawWidth + column]
                    * size
                    * range.LogWidth
                    / Math.Sqrt(12);
            }
        }
    }

    private static int FreeIndex(FaultSet set, int member)
    {
        var index = 0;
        for (var i = 0; i < member; i++)
        {
            index += set.Members[i].Range.IsContinuous ? 1 : 0;
        }
        return index;
    }
}
